import type { Step } from '../simulate/step.ts';

/** What engine and store did in an interval, as far as it is worth a word. */
export const ACTIONS = [
  'standing_engine_off',
  'standing_engine_idles',
  'braking_engine_off',
  'braking_engine_off_recovering',
  'braking_engine_idles',
  'braking_engine_idles_recovering',
  'braking_engine_drags',
  'braking_engine_drags_recovering',
  'store_drives_engine_off',
  'store_drives_engine_idles',
  'engine_drives',
  'engine_drives_store_helps',
  'engine_drives_and_charges',
] as const;

export type Action = (typeof ACTIONS)[number];

/** Names what was done in a settled interval. */
export function actionOf(step: Readonly<Step>): Action {
  if (step.wheel > 0) {
    if (step.store < 0) return 'engine_drives_and_charges';
    if (!step.engineOn) return 'store_drives_engine_off';
    if (step.store === 0) return 'engine_drives';
    return step.store >= step.wheel ? 'store_drives_engine_idles' : 'engine_drives_store_helps';
  }
  if (step.speed === 0) return step.engineOn ? 'standing_engine_idles' : 'standing_engine_off';
  const recovers = step.store < 0;
  if (!step.engineOn) return recovers ? 'braking_engine_off_recovering' : 'braking_engine_off';
  if (step.clutched) return recovers ? 'braking_engine_drags_recovering' : 'braking_engine_drags';
  return recovers ? 'braking_engine_idles_recovering' : 'braking_engine_idles';
}
