import type { AxisDescription, PlanDescription } from '../study/describe.ts';
import type { PlannedCase } from '../study/plan.ts';
import type { Paint } from './paint.ts';
import { counted } from './study-words.ts';
import { wrap } from './wrap.ts';

/** Columns of a terminal on which no line breaks. */
const WIDTH = 80;
/** So many names of a list are written out. */
const NAMES = 12;

const FORMS = {
  list: 'as listed',
  range: 'in equal steps',
  logarithmic: 'in equal ratios',
  pairs: 'from a table',
} as const;

/**
 * A plan for people, before anything is run.
 *
 * @param plan as it was described
 * @param paint emphasis for the terminal, or none
 * @returns text with a line end after every line
 */
export function planText(plan: PlanDescription, paint: Paint): string {
  const { study, cases, first, last } = plan;
  const lines = [
    paint.title(`${study}: ${counted(cases, 'case')}`),
    ...partLines(plan),
    ...axisLines(plan.axes),
    ...countLines(plan),
    ...shareLines(plan),
    '',
    paint.title(last.length === 0 ? 'Cases' : 'First and last cases'),
    ...first.flatMap((planned) => caseLines(planned, plan.varied)),
    ...(last.length === 0 ? [] : ['  …']),
    ...last.flatMap((planned) => caseLines(planned, plan.varied)),
  ];
  return lines.map((line) => `${line}\n`).join('');
}

function partLines({ parts, combinations }: PlanDescription): string[] {
  if (combinations === 0) return [];
  return (['car', 'store', 'strategy', 'cycle'] as const).flatMap((kind) => {
    const names = parts[kind];
    const few = names.slice(0, NAMES).join(', ');
    const more = names.length > NAMES ? ` and ${names.length - NAMES} more` : '';
    const plural = kind === 'strategy' ? 'strategies' : `${kind}s`;
    const head = names.length === 1 ? `1 ${kind}` : `${names.length} ${plural}`;
    return indented(`${head}: ${few}${more}`);
  });
}

function axisLines(axes: readonly AxisDescription[]): string[] {
  return axes.flatMap(({ path, form, count, least, greatest, axis }, k) => {
    const together = k > 0 && axes[k - 1]!.axis === axis ? ', together with it' : '';
    const span = least === greatest ? `${least}` : `${short(least)} to ${short(greatest)}`;
    return indented(`${path}: ${counted(count, 'value')}, ${span}, ${FORMS[form]}${together}`);
  });
}

function countLines(plan: PlanDescription): string[] {
  const { combinations, excluded, exclusions, listed, repeated } = plan;
  return [
    ...(combinations > 0 ? indented(counted(combinations, 'combination')) : []),
    ...(excluded > 0 ? indented(`${excluded} of them excluded:`) : []),
    ...exclusions.flatMap(({ text, count }) => indented(`${count} by ${text}`, '    ')),
    ...(listed > 0
      ? indented(`${counted(listed, 'case')} listed by ${listed === 1 ? 'itself' : 'themselves'}`)
      : []),
    ...(repeated > 0 ? indented(`${repeated} the same as another, run once`) : []),
  ];
}

function shareLines({ cycle_shares: shares, outputs }: PlanDescription): string[] {
  const parts = Object.entries(shares ?? {}).map(
    ([name, share]) => `${short(100 * share)} % ${name}`,
  );
  return [
    ...(parts.length > 0 ? indented(`means by distance: ${parts.join(', ')}`) : []),
    ...(outputs.logs ? indented('with a log of every case') : []),
    ...(outputs.explain ? indented('with the steps of every saving') : []),
    ...(outputs.bound ? indented('with the bound of every case') : []),
  ];
}

function caseLines(
  { index, names, values, hash }: PlannedCase,
  varied: readonly string[],
): string[] {
  const { car, store, strategy, cycle } = names;
  const set = varied.flatMap((path, k) => {
    const value = values[k];
    return typeof value === 'number' ? `    ${path} = ${value}` : [];
  });
  return [`  ${index + 1}  ${hash}  ${[car, store, strategy, cycle].join(', ')}`, ...set];
}

function indented(text: string, indent = '  '): string[] {
  const lines = wrap(text, WIDTH - 2, indent);
  return lines.map((line, k) => (k === 0 ? line : `  ${line}`));
}

function short(value: number): string {
  return String(Number(value.toPrecision(6)));
}
