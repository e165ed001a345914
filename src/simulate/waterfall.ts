import type { AssistParameters } from '../strategy/assist.ts';
import { type Behaviours, combine } from '../strategy/combine.ts';
import type { StrategyMaker } from '../strategy/contract.ts';
import type { Balance } from './balance.ts';
import { type Car, fitStore } from './car.ts';
import type { Case, CaseResult } from './case.ts';
import { Demand } from './demand.ts';
import { type Run, run } from './run.ts';
import { initialState } from './state.ts';
import { totalFuel } from './total-fuel.ts';
import { runTuned } from './tuned.ts';

/**
 * The parts that a saving can be made of, in the order in which they are added: first what needs no
 * store, then what the store costs, then what fills it, then what uses it, from the narrowest use to
 * the widest. Acceleration comes after launches, which are accelerations too: its step shows what
 * helping beyond them brings.
 */
export const PARTS = [
  'stop_start',
  'store_mass',
  'recovery',
  'launch_assist',
  'acceleration_assist',
  'keep_off',
  'coast',
  'reserve',
  'strategy',
] as const;

/** A part of a saving: `store_mass` with the auxiliaries; `strategy` one that decides everything itself, as a whole. */
export type Part = (typeof PARTS)[number];

/** A run with some of the parts, and its fuel with the battery's debt charged, balanced [J]. */
export interface PartialRun {
  readonly run: Run;
  readonly fuel: number;
  /** How the store was balanced; missing where there is none */
  readonly balance?: Balance;
}

/** One part of a saving. */
export interface WaterfallStep {
  readonly part: Part;
  /** With the parts up to this one */
  readonly after: PartialRun;
  /** Fuel that this part saves on top of those before it; negative where it costs [J] */
  readonly saving: number;
  /**
   * With all parts but this one, and without acceleration assist where launch assist is left out:
   * what widens a part goes with it. What parts are worth depends on each other, so that a step
   * alone says little about a part: a recovery saves nothing before something uses it, and two parts
   * may live on the same energy.
   */
  readonly without: PartialRun;
}

/**
 * Splits the saving of a case against the car as it is into steps, each from a run of its own with
 * one part more. The last step's run is the case's own run, so the steps add up to its saving.
 *
 * - Stop-start is added to the car without the store, with the strategy's own delay.
 * - Then the store is carried along, with its mass, auxiliaries and drag, and nothing asked of it.
 * - Assist is split into launches and other accelerations; what the engine alone cannot give is
 *   covered from the first of them on.
 * - A store that is left out for its mass alone still works, but weighs and draws nothing.
 *
 * @param subject the case
 * @param behaviours that its strategy combines; undefined for one that decides everything itself, which is one step
 * @param result what `runCase` gave for it
 * @returns a step for each part that the strategy has
 * @throws InputError from a plug-in that breaks its contract, DefectError on an open ledger
 */
export function runWaterfall(
  subject: Case,
  behaviours: Behaviours | undefined,
  result: CaseResult,
): WaterfallStep[] {
  const parts = behaviours === undefined ? AS_A_WHOLE : partsOf(behaviours);
  const runs = new PartialRuns(subject, behaviours ?? {}, result);
  let before = result.baseline.fuel;
  return parts.map((part, index) => {
    const isLast = index === parts.length - 1;
    const after = isLast ? result.withStore : runs.with(parts.slice(0, index + 1));
    const saving = before - after.fuel;
    before = after.fuel;
    return { part, after, saving, without: runs.with(parts.filter((other) => stays(other, part))) };
  });
}

const AS_A_WHOLE: readonly Part[] = ['store_mass', 'strategy'];

/** Whether a part stays where another is left out. */
function stays(part: Part, leftOut: Part): boolean {
  if (leftOut === 'launch_assist' && part === 'acceleration_assist') return false;
  return part !== leftOut;
}

/** The parts that a combined strategy has, in order. */
function partsOf(behaviours: Behaviours): Part[] {
  const { stopStart, recover, assist, keepOff, coast, reserve } = behaviours;
  const launches = assist !== undefined && assist.launchBelow > 0;
  const has: { readonly [Name in Part]: boolean } = {
    stop_start: stopStart !== undefined,
    store_mass: true,
    recovery: recover !== undefined,
    launch_assist: launches,
    acceleration_assist:
      assist !== undefined && (!launches || assist.accelerationAbove < Number.POSITIVE_INFINITY),
    keep_off: keepOff !== undefined,
    coast: coast !== undefined,
    reserve: reserve !== undefined,
    strategy: false,
  };
  return PARTS.filter((part) => has[part]);
}

/** Those behaviours of a strategy that are among some parts. */
function behavioursOf(whole: Behaviours, parts: readonly Part[]): Behaviours {
  const has = (part: Part) => parts.includes(part);
  const { stopStart, recover, assist, keepOff, coast, reserve } = whole;
  const helps = has('launch_assist') || has('acceleration_assist');
  return {
    ...(stopStart && has('stop_start') && { stopStart }),
    ...(recover && has('recovery') && { recover }),
    ...(assist && helps && { assist: assistOf(assist, has) }),
    ...(keepOff && has('keep_off') && { keepOff }),
    ...(coast && has('coast') && { coast }),
    ...(reserve && has('reserve') && { reserve }),
  };
}

/** An assist that helps in launches only, in other accelerations only, or in both. */
function assistOf(whole: AssistParameters, has: (part: Part) => boolean): AssistParameters {
  return {
    ...whole,
    launchBelow: has('launch_assist') ? whole.launchBelow : 0,
    accelerationAbove: has('acceleration_assist')
      ? whole.accelerationAbove
      : Number.POSITIVE_INFINITY,
  };
}

/** Runs of a case with some of its parts. */
class PartialRuns {
  private readonly subject: Case;
  private readonly behaviours: Behaviours;
  private readonly fittedCar: Car;
  private readonly fitted: Demand;

  constructor(subject: Case, behaviours: Behaviours, { fittedCar }: CaseResult) {
    this.subject = subject;
    this.behaviours = behaviours;
    this.fittedCar = fittedCar;
    this.fitted = new Demand(fittedCar, subject.store, subject.trace);
  }

  with(parts: readonly Part[]): PartialRun {
    const { car, store, trace } = this.subject;
    const strategy = this.strategyOf(parts);
    if (parts.includes('store_mass')) {
      return runTuned(this.fittedCar, store, this.fitted, strategy);
    }
    if (parts.every((part) => part === 'stop_start')) {
      const bare = new Demand(car, undefined, trace);
      const done = run(car, undefined, bare, strategy(), initialState(car, undefined));
      return { run: done, fuel: totalFuel(car, done) };
    }
    const weightless = { ...store, mass: 0, auxiliaryPower: 0 };
    const lightCar = fitStore(car, weightless);
    return runTuned(lightCar, weightless, new Demand(lightCar, weightless, trace), strategy);
  }

  private strategyOf(parts: readonly Part[]): StrategyMaker {
    if (parts.includes('strategy')) return this.subject.makeStrategy;
    const behaviours = behavioursOf(this.behaviours, parts);
    return () => combine('with some of its parts', behaviours);
  }
}
