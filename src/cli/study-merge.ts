import { constants, copyFileSync, existsSync } from 'node:fs';
import { hostname } from 'node:os';
import { InputError } from '../config/problem.ts';
import { printable } from '../output/problems.ts';
import { counted } from '../output/study-words.ts';
import { entryOf, hasExtras } from '../study/entry.ts';
import { Journal } from '../study/journal.ts';
import { type Merge, mergedRecords, planMerge } from '../study/merge.ts';
import { logPath, removeResults } from '../study/output-folder.ts';
import type { StudyRecord } from '../study/record.ts';
import { isOneOf } from './same-file.ts';
import { writeErr } from './streams.ts';
import type { StudyOptions } from './study.ts';
import { holdOutcome } from './study-end.ts';
import { inFolder, makeLogsFolder } from './study-folder.ts';
import { csvOptions, printStudy } from './study-print.ts';
import { replacedWords } from './study-replaced.ts';
import { type StudyResults, writeResults } from './study-results.ts';

/** Lines that are written into a journal at a time. */
const CHUNK = 1000;

/**
 * Puts the results of shards together: what comes out is what the whole study gives without shards,
 * and a rerun of the whole study goes on from it.
 * @param folders of the shards
 * @param options
 * @throws InputError for shards that make no whole, CasesFailed, TraceNotFollowed
 */
export async function mergeShards(
  folders: readonly string[],
  options: StudyOptions,
): Promise<void> {
  const { out } = options;
  refuseToReplace(folders, out);
  const merge = planMerge(folders);
  const { shard, ...whole } = merge.manifest;
  const { varied, outputs, cycle_shares: cycleShares } = whole;
  const results: StudyResults = {
    records: () => mergedRecords(merge),
    shape: { varied, explain: outputs.explain, bound: outputs.bound },
    cycleShares,
    manifest: (_, hash) => ({ ...whole, records_sha256: hash, shard }),
  };
  csvOptions(options, results.shape);
  await inFolder(out, { kind: 'study', name: whole.study }, [], async (folder) => {
    const journal = await Journal.open(folder);
    try {
      const replaced = replacedWords(folder, { ...whole, shard });
      if (replaced !== undefined) writeErr(`${replaced}\n`);
      removeResults(folder);
      if (outputs.logs) makeLogsFolder(folder);
      await takeOver(merge, folder, journal);
    } finally {
      await journal.close();
    }
    const made = {
      finished: new Date().toISOString(),
      host: hostname(),
      node: process.version,
      merged: merge.shards.map((shard) => shard.folder),
    };
    const outcome = await writeResults(folder, results, options.tolerance, made);
    const { cases } = outcome.manifest;
    const shards = counted(merge.shards.length, 'shard');
    writeErr(`${counted(cases, 'case')} of ${shards}; results in ${printable(folder)}\n`);
    await printStudy(options, results, outcome);
    holdOutcome(outcome, options);
  });
}

/** Journal and logs. */
async function takeOver(merge: Merge, folder: string, journal: Journal): Promise<void> {
  const { shards, manifest } = merge;
  const { outputs } = manifest;
  let lines = '';
  let index = 0;
  for (const text of mergedRecords(merge)) {
    const record: StudyRecord = JSON.parse(text);
    const { hash } = record.case;
    if (outputs.logs && record.state === 'done') {
      copyLog(logPath(shards[index % shards.length]!.folder, hash), logPath(folder, hash));
    }
    const known = journal.head(hash);
    const isKnown = known?.state === record.state && hasExtras(known, outputs);
    if (!isKnown) lines += `${entryOf(record, outputs)}\n`;
    index++;
    if (index % CHUNK !== 0) continue;
    await journal.append(lines);
    lines = '';
  }
  await journal.append(lines);
}

function copyLog(from: string, to: string): void {
  if (existsSync(from)) {
    copyFileSync(from, to, constants.COPYFILE_FICLONE);
    return;
  }
  throw new InputError([
    {
      code: 'merge',
      file: from,
      found: 'no such file',
      expected: 'the log of a case of this shard',
      hint: 'was the folder copied whole? If so, run the shard again with the same `--out`',
    },
  ]);
}

function refuseToReplace(folders: readonly string[], out: string | undefined): void {
  if (out === undefined || !isOneOf(folders, out)) return;
  throw new InputError([
    {
      code: 'replaces-input',
      file: '--out',
      found: `${out}, which is merged`,
      expected: 'a folder of its own for the whole study',
    },
  ]);
}
