import type { DriveReport, OddPart } from '../config/load-drive.ts';
import { KILOMETRE, PERCENT } from '../config/units.ts';
import { CHANGE_KINDS, type ChangeKind, type CleaningReport } from '../cycle/clean-report.ts';
import { fixed, rounded } from '../summary/numbers.ts';

/** What cleaning did, in words: for one, and for several. */
export const CHANGE_WORDS: { readonly [Kind in ChangeKind]: readonly [string, string] } = {
  'no-time': ['row without a time', 'rows without a time'],
  'duplicate-time': ['row of a doubled time stamp', 'rows of doubled time stamps'],
  'stray-time': ['row ahead of its time', 'rows ahead of their time'],
  'backward-time': ['row back in time', 'rows back in time'],
  'clock-set-back': ['clock set back', 'times the clock set back'],
  'no-speed': ['row without a speed', 'rows without a speed'],
  'gap-bridged': ['gap bridged', 'gaps bridged'],
  'gap-split': ['gap too long to bridge', 'gaps too long to bridge'],
  'lone-row': ['row on its own', 'rows on their own'],
  spike: ['sample of a spike', 'samples of spikes'],
  jump: ['jump left as it is', 'jumps left as they are'],
  'below-zero': ['speed below zero', 'speeds below zero'],
  standstill: ['sample of creeping at rest', 'samples of creeping at rest'],
  'altitude-filled': ['altitude filled in', 'altitudes filled in'],
  'grade-filled': ['grade filled in', 'grades filled in'],
  resampled: ['part at even instants', 'parts at even instants'],
  smoothed: ['sample smoothed', 'samples smoothed'],
};

const ODD_WORDS: { readonly [Kind in OddPart['kind']]: string } = {
  'left-out': 'left out, too short to be a drive',
  'no-road': 'taken for flat, without a value of grade or altitude',
  'too-steep': 'taken for flat, too short for the noise of its altitude',
};

/** So many odd parts are named. */
const LISTED_PARTS = 3;

/**
 * Says in one line what was done to a drive, so that nothing is changed in silence.
 *
 *     monday.csv cleaned: 3 rows of doubled time stamps; altitude smoothed, climb 812 -> 640 m/100 km; distance +0.02 %
 *
 * @returns the line without its end; undefined for a drive that is driven as it stands
 */
export function cleaningLine(report: DriveReport): string | undefined {
  const { cleaning, oddParts } = report;
  if (cleaning === undefined && oddParts.length === 0) return undefined;
  const done = [
    ...(cleaning === undefined ? [] : [changesInWords(cleaning)]),
    ...climbWords(report),
    ...(cleaning === undefined ? [] : distanceWords(cleaning)),
    ...oddWords(oddParts),
  ];
  return `${report.file} ${cleaning === undefined ? 'read' : 'cleaned'}: ${done.join('; ')}`;
}

function changesInWords({ counts }: CleaningReport): string {
  const words = CHANGE_KINDS.filter((kind) => counts[kind] > 0).map((kind) => {
    const [one, several] = CHANGE_WORDS[kind];
    return `${counts[kind]} ${counts[kind] === 1 ? one : several}`;
  });
  return words.length === 0 ? 'no fault was found' : words.join(', ');
}

function climbWords({ altitude, cleaning }: DriveReport): string[] {
  if (altitude === undefined || cleaning === undefined) return [];
  const per100Km = (gain: number): string =>
    fixed((gain / cleaning.after.distance) * 100 * KILOMETRE, 0);
  return [
    `altitude smoothed, climb ${per100Km(altitude.gainBefore)} -> ${per100Km(altitude.gainAfter)} m/100 km`,
  ];
}

function distanceWords({ before, after }: CleaningReport): string[] {
  const change = (after.distance / before.distance - 1) / PERCENT;
  if (!Number.isFinite(change) || change === 0) return [];
  return [`distance ${change > 0 ? '+' : ''}${rounded(change)} %`];
}

function oddWords(oddParts: readonly OddPart[]): string[] {
  const seconds = (time: number): string => String(Number(time.toFixed(1)));
  const words = oddParts
    .slice(0, LISTED_PARTS)
    .map(
      ({ kind, from, to, distance }) =>
        `${seconds(from)} to ${seconds(to)} s (${rounded(distance)} m) ${ODD_WORDS[kind]}`,
    );
  const more = oddParts.length - LISTED_PARTS;
  return more > 0 ? [...words, `and ${more} more such parts`] : words;
}
