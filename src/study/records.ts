import { existsSync, readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { tool } from '../summary/tool.ts';
import { hasExtras, recordText } from './entry.ts';
import type { Journal } from './journal.ts';
import { FILES } from './output-folder.ts';
import type { Plan, PlannedCase } from './plan.ts';
import type { VariedValues } from './record.ts';
import type { Shard } from './shard.ts';

/** Indices of the cases of a shard, or of all, in the order of the plan. */
export function* indicesOf(plan: Plan, shard: Shard | undefined): Generator<number> {
  const { k, n } = shard ?? { k: 1, n: 1 };
  for (let index = k - 1; index < plan.count; index += n) yield index;
}

/**
 * The cases that are still to be run: those that the journal does not have, those that failed, and
 * those whose log, steps or bound are wanted and are not there.
 */
export function unfinished(
  plan: Plan,
  shard: Shard | undefined,
  folder: string,
  journal: Journal,
): number[] {
  const { outputs } = plan;
  const written = outputs.logs ? writtenLogs(folder) : undefined;
  return [...indicesOf(plan, shard)].filter((index) => {
    const hash = plan.hashAt(index);
    const head = journal.head(hash);
    if (head?.state !== 'done' || !hasExtras(head, outputs)) return true;
    return written !== undefined && !written.has(hash);
  });
}

/** The lines of `results.jsonl` without their ends, composed one by one from the journal. */
export function* recordsOf(
  plan: Plan,
  shard: Shard | undefined,
  journal: Journal,
): Generator<string> {
  const by = tool();
  for (const index of indicesOf(plan, shard)) {
    const planned = plan.caseAt(index);
    const { hash, names } = planned;
    yield recordText(journal.read(hash), { tool: by, names, varied: variedOf(plan, planned) });
  }
}

function variedOf({ varied }: Plan, { values }: PlannedCase): VariedValues {
  return Object.fromEntries(varied.map((path, k) => [path, values[k] ?? null]));
}

/** Hashes of the cases whose logs are in a folder. */
function writtenLogs(folder: string): Set<string> {
  const place = join(folder, FILES.logs);
  const names = existsSync(place) ? readdirSync(place) : [];
  return new Set(names.map((name) => basename(name, '.csv')));
}
