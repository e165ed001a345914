import type { Failure, RankedCase, Ranking } from '../study/ranking.ts';
import { fixed } from '../summary/numbers.ts';
import { printable } from './problems.ts';
import { differs, labelsOf, PARTS } from './study-labels.ts';
import type { StudyReport } from './study-report.ts';

/** Cycles that are named one by one; the rest is counted. */
const NAMED_CYCLES = 6;

/** How many cases there are, and what the figures below are means over. */
export function headWords({ tool, ranking }: StudyReport): string[] {
  const { done, failed, rows } = ranking;
  const all = counted(done + failed, 'case');
  const cases = failed === 0 ? all : `${all}, ${failed} of them failed`;
  const constant = PARTS.filter((part) => !differs(ranking, part)).map(
    (part) => `${part} ${printable(rows[0]?.[part] ?? '')}`,
  );
  return [
    `${cases}; ${tool}`,
    ...(rows.length > 0 && constant.length > 0 ? [`All with ${constant.join(', ')}.`] : []),
    ...cycleWords(ranking),
  ];
}

function cycleWords({ cycles }: Ranking): string[] {
  const counting = cycles.filter(({ share }) => share > 0);
  const without = cycles.filter(({ share }) => share === 0).map(({ name }) => printable(name));
  const [first] = counting;
  const words: string[] = [];
  if (counting.length === 1) words.push(`On ${printable(first!.name)}.`);
  if (counting.length > 1) {
    const areEqual = counting.every(({ share }) => share === first!.share);
    const named = counting
      .slice(0, NAMED_CYCLES)
      .map(
        ({ name, share }) => `${printable(name)}${areEqual ? '' : ` ${fixed(100 * share, 1)} %`}`,
      );
    const more = counting.length - named.length;
    const list = [...named, ...(more > 0 ? [`${more} more`] : [])].join(', ');
    words.push(`Means over ${list}${areEqual ? ', all with the same share' : ''} of the distance.`);
  }
  if (without.length > 0) words.push(`Without a share, so in no mean: ${without.join(', ')}.`);
  return words;
}

/** What the marks of the rows mean, those that there are; and what failed. */
export function noteWords(ranking: Ranking): string[] {
  const { rows, failed, failures, notFollowed, slopeCorrected, tolerance } = ranking;
  const gaps = rows.filter((row) => !row.complete && row.fuel !== null).length;
  const told = failures.reduce((sum, { cases }) => sum + cases, 0);
  const notes: string[] = [];
  if (failed > 0) notes.push(`f: ${counted(failed, 'case')} failed.`);
  for (const failure of failures) {
    const { kind, message, cases } = failure;
    const why = kind === 'defect' ? 'by a defect of the program' : 'by their inputs';
    notes.push(`   ${cases} ${why}${firstWords(failure)}: ${printable(message)}`);
  }
  if (told < failed) notes.push(`   ${failed - told} for other reasons.`);
  if (gaps > 0) {
    notes.push(
      `g: ${counted(gaps, 'mean')} without all of the cycles, which can be compared with no other.`,
    );
  }
  if (notFollowed > 0) {
    notes.push(
      `t: in ${counted(notFollowed, 'case')} the trace was not followed (more than ${tolerance} % of the tractive energy missing), so that the saving is none to rely on.`,
    );
  }
  if (slopeCorrected > 0) {
    notes.push(
      `s: ${counted(slopeCorrected, 'case')} with corrected fuel, not balanced by repetition.`,
    );
  }
  if (rows.some(({ bound }) => (bound?.gap_pct ?? 0) < 0)) {
    notes.push(
      'A gap below 0 is no fuel saved beyond what can be saved: a correction of the fuel is off, the trace was not followed, or the search for the bound missed that much.',
    );
  }
  return notes;
}

/** The single cases at both ends, of those whose trace was followed; they say nothing new where there is but one cycle. */
export function extremeWords(ranking: Ranking): string[] {
  const { best, worst, cycles, notFollowed } = ranking;
  if (cycles.length < 2 || best === null || worst === null) return [];
  const which = `single case${notFollowed === 0 ? '' : ' that followed its trace'}`;
  return [
    `Highest saving of a ${which}: ${caseWords(ranking, best)}.`,
    `Lowest saving of a ${which}: ${caseWords(ranking, worst)}.`,
  ];
}

function caseWords(ranking: Ranking, single: RankedCase): string {
  const { headers, names, of } = labelsOf(ranking);
  const labels = of(single).map((text, k) => (k < names ? text : `${headers[k]} ${text || '–'}`));
  const who = labels.length === 0 ? '' : ` with ${labels.join(', ')}`;
  return `${fixed(single.vs_baseline_pct, 2)} % on ${printable(single.cycle)}${who}`;
}

/** Which case failed for a reason, or the first of those that did. */
export function firstWords({ cases, first }: Failure): string {
  const { car, store, strategy, cycle, hash } = first;
  const which = printable([car, store, strategy, cycle].join(', '));
  return ` (${cases === 1 ? '' : 'first '}${which}; case ${hash})`;
}

/** A count with its noun, as in `1 case`, `3 cases`. */
export function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}
