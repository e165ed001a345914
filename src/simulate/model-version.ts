/**
 * Version of the model: it changes whenever the same inputs may give other results, so that results
 * of two versions are never taken for those of one.
 */
export const MODEL_VERSION = '6';
