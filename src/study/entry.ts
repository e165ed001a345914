import { sha256 } from '../config/hash.ts';
import { type CaseNames, SCHEMA_VERSION } from '../summary/summary.ts';
import type { StudyOutputs } from './plan.ts';
import type { DoneRecord, FailedRecord, StudyRecord, VariedValues } from './record.ts';

/**
 * A line of the journal: what a case came to, without what the study calls it. Names and varied
 * values are put in when results are written, so that a finished case serves any study that has it.
 *
 *     {"hash":"…","state":"done","explained":false,"bounded":false,"check":"…","result":{…}}
 *
 * The check is a digest of the result, so that a damaged line is never taken for one.
 */
export interface EntryHead {
  readonly hash: string;
  readonly state: StudyRecord['state'];
  /** Whether the waterfall was asked for */
  readonly explained: boolean;
  /** Whether the bound was asked for */
  readonly bounded: boolean;
}

/** What a study may ask for besides the summary of a case. */
export type Extras = Pick<StudyOutputs, 'explain' | 'bound'>;

/** What of a record is the same whatever the study calls the case. */
type Result = Omit<DoneRecord, Naming> | Omit<FailedRecord, Naming>;
type Naming = 'state' | 'varied' | 'schema_version' | 'tool' | 'case';

/** What a study calls a case, and who ran it. */
export interface Named {
  readonly tool: string;
  readonly names: CaseNames;
  readonly varied: VariedValues;
}

const HEAD =
  /^\{"hash":"([0-9a-f]{16})","state":"(done|failed)","explained":(true|false),"bounded":(true|false),"check":"([0-9a-f]{8})","result":\{/;
/** Longest head [characters]. */
const HEAD_LENGTH = 130;
const CHECK_DIGITS = 8;

/** The line of a case, without a line end. */
export function entryText({ hash, state, explained, bounded }: EntryHead, result: Result): string {
  const text = JSON.stringify(result);
  const check = sha256(text).slice(0, CHECK_DIGITS);
  const head = `"hash":"${hash}","state":"${state}","explained":${explained},"bounded":${bounded}`;
  return `{${head},"check":"${check}","result":${text}}`;
}

/** Reads the head of a line; undefined where it is not the line of a case. */
export function entryHead(line: Buffer): EntryHead | undefined {
  const found = headIn(line);
  if (found === null) return undefined;
  const [, hash = '', state, explained, bounded] = found;
  return {
    hash,
    state: state === 'done' ? 'done' : 'failed',
    explained: explained === 'true',
    bounded: bounded === 'true',
  };
}

/** Whether a line with a head is as it was written. */
export function isUndamaged(line: Buffer): boolean {
  const [head = '', , , , , check] = headIn(line) ?? [];
  return sha256(line.subarray(head.length - 1, line.length - 1)).slice(0, CHECK_DIGITS) === check;
}

function headIn(line: Buffer): RegExpExecArray | null {
  return HEAD.exec(line.toString('latin1', 0, HEAD_LENGTH));
}

/** Whether a line has what is asked for, and no more, so that results do not hang on earlier runs. */
export function hasExtras(head: Omit<EntryHead, 'hash'>, { explain, bound }: Extras): boolean {
  return head.explained === explain && head.bounded === bound;
}

/**
 * The line of `results.jsonl` for a case, without a line end: the result as it stands in the journal,
 * behind what the study calls the case.
 */
export function recordText(entry: string, { tool, names, varied }: Named): string {
  const { hash, state } = JSON.parse(`${entry.slice(0, entry.indexOf(',"explained"'))}}`);
  const { car, store, strategy, cycle } = names;
  const head = {
    state,
    varied,
    ...(state === 'done' && { schema_version: SCHEMA_VERSION }),
    tool,
    case: { car, store, strategy, cycle, hash },
  };
  const result = entry.slice(entry.indexOf('"result":{') + '"result":{'.length, -1);
  return `${JSON.stringify(head).slice(0, -1)},${result}`;
}

/** The line of the journal for a record, as it was before it got its names. */
export function entryOf(record: StudyRecord, { explain, bound }: Extras): string {
  const head = { hash: record.case.hash, state: record.state, explained: explain, bounded: bound };
  if (record.state === 'failed') return entryText(head, { error: record.error });
  const { state, varied, schema_version, tool, case: _, ...result } = record;
  return entryText(head, result);
}
