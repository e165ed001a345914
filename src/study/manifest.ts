import { MODEL_VERSION } from '../simulate/model-version.ts';
import { SCHEMA_VERSION } from '../summary/summary.ts';
import { tool } from '../summary/tool.ts';
import type { Plan, PlanInput, StudyOutputs } from './plan.ts';
import { countOf, type Shard } from './shard.ts';

/**
 * What the results of a folder are, `manifest.json`: the last file that is written, so a folder that
 * has one is whole. It says nothing of time or place, which stand in `made.json`.
 */
export interface Manifest {
  readonly schema_version: typeof SCHEMA_VERSION;
  readonly tool: string;
  readonly model_version: string;
  /** Name of the study */
  readonly study: string;
  /** Digest of the plan: of all cases, those of other shards with them */
  readonly plan: string;
  /** Cases in this folder: done and failed ones */
  readonly cases: number;
  readonly done: number;
  readonly failed: number;
  /** Paths of the numbers that are varied */
  readonly varied: readonly string[];
  readonly cycle_shares: Readonly<Record<string, number>> | null;
  readonly outputs: StudyOutputs;
  readonly inputs: readonly PlanInput[];
  /** SHA-256 of `results.jsonl`, by which a merge knows that it reads what was written */
  readonly records_sha256: string;
  /** Which share of how many cases this is; null for all of them */
  readonly shard: (Shard & { readonly of_cases: number }) | null;
}

/** Cases that were finished, by how they ended. */
export interface Counts {
  readonly done: number;
  readonly failed: number;
}

/**
 * The manifest of a plan whose cases, or those of a shard, are all finished.
 * @param plan
 * @param shard undefined for the whole study
 * @param counts of the cases
 * @param recordsHash of `results.jsonl`
 */
export function manifestOf(
  plan: Plan,
  shard: Shard | undefined,
  counts: Counts,
  recordsHash: string,
): Manifest {
  const { done, failed } = counts;
  return {
    schema_version: SCHEMA_VERSION,
    tool: tool(),
    model_version: MODEL_VERSION,
    study: plan.name,
    plan: plan.hash,
    cases: shard === undefined ? plan.count : countOf(shard, plan.count),
    done,
    failed,
    varied: plan.varied,
    cycle_shares: plan.cycleShares,
    outputs: plan.outputs,
    inputs: plan.inputs,
    records_sha256: recordsHash,
    shard: shard === undefined ? null : { k: shard.k, n: shard.n, of_cases: plan.count },
  };
}
