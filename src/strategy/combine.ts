import { type AssistParameters, assist } from './assist.ts';
import { type CoastParameters, coast } from './coast.ts';
import type { Behaviour, Strategy } from './contract.ts';
import { type KeepOffParameters, keepOff } from './keep-off.ts';
import { type RecoverParameters, recover } from './recover.ts';
import { type ReserveParameters, reserve } from './reserve.ts';
import { type StopStartParameters, stopStart } from './stop-start.ts';

/** Behaviours of a combined strategy; what is left out does not act. */
export interface Behaviours {
  readonly stopStart?: StopStartParameters;
  readonly keepOff?: KeepOffParameters;
  readonly coast?: CoastParameters;
  readonly recover?: RecoverParameters;
  readonly assist?: AssistParameters;
  readonly reserve?: ReserveParameters;
}

/**
 * One strategy out of behaviours, which act in the order below. First it is settled whether the
 * engine runs (stop-start, keep-off, coast); then braking that nobody has taken is recovered, a
 * running engine is assisted, and a reserve is charged by an engine that runs unassisted.
 * @param name for results and errors
 * @param behaviours which, with their parameters
 * @returns a strategy with fresh state
 */
export function combine(name: string, behaviours: Behaviours): Strategy {
  const chain: Behaviour[] = [];
  if (behaviours.stopStart) chain.push(stopStart(behaviours.stopStart));
  if (behaviours.keepOff) chain.push(keepOff(behaviours.keepOff));
  if (behaviours.coast) chain.push(coast(behaviours.coast));
  if (behaviours.recover) chain.push(recover(behaviours.recover));
  if (behaviours.assist) chain.push(assist(behaviours.assist));
  if (behaviours.reserve) chain.push(reserve(behaviours.reserve));
  return {
    name,
    decide(see, want) {
      for (let i = 0; i < chain.length; i++) chain[i]!(see, want);
    },
  };
}
