import { DefectError } from '../config/problem.ts';
import { type Comparison, groupChange, isSameInput, type MeanGroup } from '../study/comparison.ts';
import { type FigureChange, pairChanges } from '../study/difference.ts';
import type { GateValue } from '../study/gate-values.ts';
import type { GateResult } from '../study/gates.ts';
import { type LedgerChange, type LineChange, ledgerChange } from '../study/ledger-change.ts';
import type { Matching, OneSided, Pair } from '../study/match.ts';
import type { Result } from '../study/results.ts';
import { jsonText } from './json.ts';

/** Version of the keys below: a key that changes its meaning or goes raises it, a new one does not. */
const SCHEMA_VERSION = 1;

/** What the document leaves to the cases, which come one by one. */
const END = '\n}\n';

/**
 * A comparison as JSON, piece by piece, since it may be about 100 000 cases. Means and cases stand
 * last, one a line, after everything that is about all of them.
 * @param tool name and version of the program
 */
export function* compareJson(comparison: Comparison, tool: string): Generator<string> {
  const { matching } = comparison;
  // The mean of one case is that case, which has a line of its own.
  const means = comparison.means.filter(({ pairs, lacking }) => pairs.length + lacking > 1);
  const head = jsonText(headDocument(comparison, tool));
  if (!head.endsWith(END)) throw new DefectError('a document does not end as one');
  yield head.slice(0, -END.length);
  yield* list('means', means, (group) => meanDocument(comparison, group));
  yield* list('cases', matching.pairs, (pair) => pairDocument(matching, pair));
  yield END;
}

/** A key with a list, each entry of which has a line. */
function* list<T>(
  key: string,
  things: readonly T[],
  documentOf: (thing: T) => object,
): Generator<string> {
  yield `,\n  "${key}": [`;
  for (const [k, thing] of things.entries()) {
    yield `${k === 0 ? '' : ','}\n    ${JSON.stringify(documentOf(thing))}`;
  }
  yield things.length === 0 ? ']' : '\n  ]';
}

function headDocument(comparison: Comparison, tool: string): object {
  const { before, after, matching, shares, counts, ledger, gates, notices } = comparison;
  return {
    schema_version: SCHEMA_VERSION,
    tool,
    before: resultDocument(before),
    after: resultDocument(after),
    compared_across: matching.changed.map((one) => ({
      dimension: one.name,
      before: one.before ?? null,
      after: one.after ?? null,
    })),
    notices,
    cycle_shares: { from: shares.from, shares: shares.shares },
    gates:
      gates === null
        ? null
        : {
            name: gates.name,
            file: gates.file,
            hold: gates.results.every(({ holds }) => holds),
            results: gates.results.map((result) => gateDocument(matching, result)),
          },
    counts: {
      compared: matching.pairs.length,
      less_fuel: counts.better,
      more_fuel: counts.worse,
      unchanged: counts.unchanged,
      no_figure: counts.noFigure,
      same_inputs: counts.sameInputs,
      failed: matching.failed.length,
      unmatched: matching.unmatched.length,
      doubled: matching.doubled.length,
    },
    ledger: ledger === null ? null : ledgerDocument(ledger),
    failed: matching.failed.map(({ before: old, after: now }) => ({
      ...caseDocument(matching, { side: 'after', row: now }),
      before: old.failure,
      after: now.failure,
    })),
    unmatched: matching.unmatched.map((one) => oneSidedDocument(matching, one)),
    doubled: matching.doubled.map((one) => oneSidedDocument(matching, one)),
  };
}

function resultDocument({ source, study, tools, modelVersion, rows }: Result): object {
  const failed = rows.filter(({ failure }) => failure !== null).length;
  return {
    source,
    study,
    tools,
    model_version: modelVersion,
    cases: rows.length,
    failed,
  };
}

/** What a case is called, and its varied numbers. */
function caseDocument({ dimensions }: Matching, { side, row }: OneSided) {
  const varied = dimensions[side].slice(4).map(({ name, of }) => [name, of(row) ?? null] as const);
  return { case: { ...row.names, hash: row.hash }, varied: Object.fromEntries(varied) };
}

function oneSidedDocument(matching: Matching, one: OneSided): object {
  return { side: one.side, ...caseDocument(matching, one), failure: one.row.failure };
}

function gateDocument(matching: Matching, result: GateResult): object {
  const { gate, holds, looked, missed, why, worst, nearest } = result;
  return {
    ...gate,
    holds,
    why,
    looked_at: looked,
    beyond: missed,
    worst: worst.map((value) => valueDocument(matching, result, value)),
    nearest: nearest === null ? null : valueDocument(matching, result, nearest),
  };
}

function valueDocument(matching: Matching, { gate }: GateResult, value: GateValue): object {
  const { case: names, varied } = caseDocument(matching, value.of);
  const { car, store, strategy } = names;
  return {
    case: gate.over === 'mean' ? { car, store, strategy } : names,
    varied,
    before: number(value.before),
    after: number(value.after),
    value: number(value.value),
    why: value.why,
  };
}

function meanDocument(comparison: Comparison, group: MeanGroup): object {
  const { pairs, lacking } = group;
  const first: OneSided = { side: 'after', row: pairs[0]!.after };
  const { case: names, varied } = caseDocument(comparison.matching, first);
  const { figures, ledger } = groupChange(group, comparison);
  const { car, store, strategy } = names;
  return {
    case: { car, store, strategy },
    varied,
    cycles: pairs.length,
    lacking_cycles: lacking,
    figures: figuresDocument(figures),
    ledger: ledgerDocument(ledger),
  };
}

function pairDocument(matching: Matching, pair: Pair): object {
  const { before, after } = pair;
  const { car, store, strategy, cycle } = after.names;
  const alone = [before, after].map(({ figures }) => [{ figures, share: 1 }]);
  return {
    case: { car, store, strategy, cycle },
    varied: caseDocument(matching, { side: 'after', row: after }).varied,
    before_hash: before.hash,
    after_hash: after.hash,
    same_inputs: isSameInput(pair),
    figures: figuresDocument(pairChanges(pair)),
    ledger: ledgerDocument(ledgerChange(alone[0]!, alone[1]!)),
  };
}

function figuresDocument(figures: readonly FigureChange[]): object {
  return Object.fromEntries(
    figures.map(({ name, before, after, change }) => [
      name,
      { before: number(before), after: number(after), change: number(change) },
    ]),
  );
}

/** What moved in the ledger: `parts` add up to `fuel`, each with what it adds to that. */
function ledgerDocument({ fuel, parts, flows }: LedgerChange): object {
  return {
    fuel_kJ_per_km: number(fuel.perKm),
    fuel_pct: number(fuel.ofFuel),
    parts_kJ_per_km: byName(parts, ({ perKm }) => perKm),
    parts_pct_of_fuel: byName(parts, ({ ofFuel }) => ofFuel),
    through_store_kJ_per_km: byName(flows, ({ perKm }) => perKm),
  };
}

function byName(lines: readonly LineChange[], pick: (line: LineChange) => number): object {
  return Object.fromEntries(lines.map((line) => [line.part.name, number(pick(line))]));
}

function number(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
