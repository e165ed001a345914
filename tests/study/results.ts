import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { sha256 } from '../../src/config/hash.ts';
import { gatesFrom, type LoadedGates } from '../../src/config/load-gates.ts';
import { runCase } from '../../src/simulate/case.ts';
import { type Behaviours, combine } from '../../src/strategy/combine.ts';
import { readCompared } from '../../src/study/comparison.ts';
import type { DoneRecord, StudyRecord, VariedValues } from '../../src/study/record.ts';
import type { Result } from '../../src/study/results.ts';
import { documentOf } from '../config/drafts.ts';
import { cycleNamed } from '../fixtures.ts';
import { plainCase, summaryOf } from '../output/plain-case.ts';

/** An empty folder that is gone when the test is over. */
export function emptyFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-results-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Writes records as the folder of a study. */
export function folderOf(records: readonly StudyRecord[], manifest: object = {}): string {
  const folder = emptyFolder();
  const lines = records.map((record) => `${JSON.stringify(record)}\n`).join('');
  const failed = records.filter(({ state }) => state === 'failed').length;
  const content = {
    schema_version: 1,
    tool: 'spinledger 9.9.9',
    model_version: '1',
    study: 'made-up',
    plan: 'abc',
    cases: records.length,
    done: records.length - failed,
    failed,
    varied: [],
    cycle_shares: null,
    outputs: { logs: false, explain: false, bound: false },
    inputs: [],
    records_sha256: sha256(lines),
    shard: null,
    ...manifest,
  };
  writeFileSync(join(folder, 'manifest.json'), JSON.stringify(content));
  writeFileSync(join(folder, 'results.jsonl'), lines);
  return folder;
}

/** Records as a result that was read, with the columns that gates need. */
export function resultOf(
  records: readonly StudyRecord[],
  { manifest = {}, gates }: { manifest?: object; gates?: LoadedGates | undefined } = {},
): Promise<Result> {
  return readCompared(folderOf(records, manifest), gates);
}

/** Gates from a draft of their file. */
export function gatesOf(gates: readonly object[], more: object = {}): LoadedGates {
  const named = gates.map((gate, k) => ({ name: `gate ${k + 1}`, ...gate }));
  return gatesFrom(documentOf({ name: 'gates', gates: named, ...more }));
}

const STRATEGIES: Readonly<Record<string, Behaviours>> = {
  recover: {
    recover: { share: 1, minPower: 0 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.3,
      share: 0.8,
      floor: 0.1,
      coverShortfall: true,
    },
  },
  stop: {
    stopStart: { delay: 0 },
    recover: { share: 0.6, minPower: 500 },
    assist: {
      launchBelow: 8,
      accelerationAbove: 0.3,
      share: 1,
      floor: 0.02,
      coverShortfall: true,
    },
  },
};

const known = new Map<string, DoneRecord>();

/** A case of the plain car that was really run, so that its ledger closes. */
export function realRecord(
  strategy: keyof typeof STRATEGIES & string,
  cycle = 'nycc',
  varied: VariedValues = {},
): DoneRecord {
  const power = varied['store.power_limit_kW'];
  const key = JSON.stringify([strategy, cycle, power]);
  const made = known.get(key);
  if (made !== undefined) return { ...made, varied };
  const trace = cycleNamed(cycle);
  const store = { ...plainCase.store, ...(power != null && { powerLimit: power * 1000 }) };
  const makeStrategy = () => combine(strategy, STRATEGIES[strategy]!);
  const summary = summaryOf(runCase({ ...plainCase, store, trace, makeStrategy }), trace);
  const record: DoneRecord = {
    ...summary,
    state: 'done',
    varied,
    case: { ...summary.case, strategy, hash: hashOf(key) },
  };
  known.set(key, record);
  return record;
}

/** Sixteen digits that differ where their texts differ, as far as a test needs it. */
function hashOf(text: string): string {
  let sum = 0;
  for (const character of text) sum = (Math.imul(sum, 31) + character.charCodeAt(0)) >>> 0;
  return sum.toString(16).padStart(16, '0');
}

/** A record in which a figure is null, as no run writes it but a file may have it. */
export function lacking(record: DoneRecord, group: 'fuel' | 'saving', key: string): DoneRecord {
  return { ...record, [group]: { ...record[group], [key]: null } };
}

/** A record with another name for some of its parts, or another hash. */
export function named<R extends StudyRecord>(record: R, names: Partial<StudyRecord['case']>): R {
  return { ...record, case: { ...record.case, ...names } };
}
