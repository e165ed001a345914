import type { InputHashes } from '../config/hash.ts';
import type { DriveReport } from '../config/load-drive.ts';
import type { CaseNames } from '../summary/summary.ts';
import type { StudySources } from './sources.ts';

/** Where each part of a case stands in the lists of the plan's sources. */
export interface PartIndices {
  readonly car: number;
  readonly store: number;
  readonly strategy: number;
  readonly cycle: number;
}

/** A case of a study before it is run, as plain data. */
export interface PlannedCase {
  /** Place in the plan, from 0. */
  readonly index: number;
  /** Names for results, as the summary of the case will have them. */
  readonly names: CaseNames;
  readonly parts: PartIndices;
  /** A number for each of the plan's `varied`; null where the case leaves it as its file says. */
  readonly values: readonly (number | null)[];
  /** Digests of the four inputs (`inputHash`), with the varied numbers in them. */
  readonly inputs: InputHashes;
  /** The hash that a run of the same inputs has. */
  readonly hash: string;
}

/** What a study writes besides its results. */
export interface StudyOutputs {
  /** A log of every case */
  readonly logs: boolean;
  /** The way from the car as it is to the car with the store, step by step */
  readonly explain: boolean;
  /** The least fuel that any strategy could reach in every case */
  readonly bound: boolean;
}

/** An input of a study as it is listed in results. */
export interface PlanInput {
  readonly kind: 'car' | 'store' | 'strategy' | 'cycle';
  readonly name: string;
  /** Digest of its content as its file says, before anything is varied. */
  readonly hash: string;
}

/** How a study comes to its cases, for people. */
export interface PlanShape {
  /** Number of combinations of the lists and axes, none where the study has listed cases alone. */
  readonly combinations: number;
  /** Names of the parts that are combined. */
  readonly product: Readonly<Record<keyof PartIndices, readonly string[]>>;
  readonly axes: readonly AxisShape[];
  /** Of each exclusion of the study, as JSON, how many combinations fulfil its conditions. */
  readonly exclusions: readonly { readonly text: string; readonly count: number }[];
  /** Number of combinations that are left out. */
  readonly excluded: number;
  /** Number of cases that the study lists by themselves. */
  readonly listed: number;
  /** Number of cases that are the same as one before them, and left out. */
  readonly repeated: number;
}

/** An axis of a study: the numbers that it varies and their values. */
export interface AxisShape {
  readonly form: 'list' | 'range' | 'logarithmic' | 'pairs';
  readonly count: number;
  readonly paths: readonly { readonly path: string; readonly values: readonly number[] }[];
}

/** All cases of a study in their order; a case is made when it is asked for. */
export interface Plan {
  /** Name of the study. */
  readonly name: string;
  /** Number of cases. */
  readonly count: number;
  /** Paths of the varied numbers, as `store.power_limit_kW`. */
  readonly varied: readonly string[];
  /** Share of the distance for each cycle by its name, in sum 1; null where the study gives none. */
  readonly cycleShares: Readonly<Record<string, number>> | null;
  readonly outputs: StudyOutputs;
  /** Digest of the study: its cases in their order with their names and varied numbers. */
  readonly hash: string;
  readonly inputs: readonly PlanInput[];
  /** What a worker makes the inputs of cases from; it can be sent to one as it stands. */
  readonly sources: StudySources;
  /** Every file that was read, none of which an output may replace. */
  readonly files: readonly string[];
  /** What was found and done when the drives were loaded, so that no log is cleaned in silence. */
  readonly drives: readonly DriveReport[];
  /** Sentences for the user: what was put together, and what was not. */
  readonly notices: readonly string[];
  readonly shape: PlanShape;
  /** @throws RangeError outside of 0 … count − 1 */
  caseAt(index: number): PlannedCase;
  /** The hash of a case alone, which is cheaper. */
  hashAt(index: number): string;
}
