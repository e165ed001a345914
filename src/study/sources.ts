import type { Lists } from './lists.ts';
import type { DocumentKind } from './number-path.ts';

/** A car, store or strategy as the study's process read it: values, not a promise of a file. */
export interface DocumentSource {
  readonly name: string;
  /** File for messages. */
  readonly file: string;
  /** Folder from which the files named inside are found. */
  readonly folder: string;
  /** The whole document, before anything is varied. */
  readonly value: unknown;
}

/** A cycle of a study: what names it and the folder that this is read from, or its samples. */
export type CycleSource =
  | {
      readonly form: 'named';
      readonly name: string;
      readonly text: string;
      readonly folder: string;
    }
  | {
      readonly form: 'inline';
      readonly name: string;
      readonly file: string;
      readonly value: unknown;
    };

/** The parts that the cases of a study are made of, able to be sent to a worker. */
export interface StudySources {
  readonly car: readonly DocumentSource[];
  readonly store: readonly DocumentSource[];
  readonly strategy: readonly DocumentSource[];
  readonly cycle: readonly CycleSource[];
  /** Paths of the numbers that cases set. */
  readonly varied: readonly string[];
}

/**
 * What the cases of a study are made from.
 *
 * @param lists of its parts
 * @param varied paths of the numbers that cases set
 */
export function sourcesOf(lists: Lists, varied: readonly string[]): StudySources {
  const documents = (kind: DocumentKind): DocumentSource[] =>
    lists[kind].parts.map(({ name, document: { file, folder, value } }) => ({
      name,
      file,
      folder,
      value,
    }));
  return {
    car: documents('car'),
    store: documents('store'),
    strategy: documents('strategy'),
    cycle: lists.cycle.parts.map(({ source }) => source),
    varied,
  };
}
