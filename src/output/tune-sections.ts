import { PERCENT } from '../config/units.ts';
import { fixed } from '../summary/numbers.ts';
import type {
  BeforeAfter,
  MoveReport,
  NumberReport,
  ShownFigures,
  TuneReport,
} from '../tune/report.ts';
import { printable } from './problems.ts';
import type { Section, SectionRow } from './section.ts';
import { valueText } from './study-names.ts';
import {
  decimalsOf,
  figureText,
  figureWords,
  flatWords,
  isLookedAround,
  limitsText,
  namesOf,
} from './tune-words.ts';

/** The tables of a tune, in the order in which they are read. */
export function tuneSections(report: TuneReport): Section[] {
  return [
    numbersSection(report),
    ...cycleSections(report),
    ...(report.constraints.length > 0 ? [constraintSection(report)] : []),
    ...(report.feasible ? [flatnessSection(report)] : []),
  ];
}

/** What the second column of a pair is called: numbers that miss a constraint are not to be used. */
function afterWord({ feasible }: TuneReport): string {
  return feasible ? 'after' : 'nearest';
}

function numbersSection(report: TuneReport): Section {
  const { numbers } = report;
  const names = namesOf(numbers);
  return {
    title: 'Numbers',
    columns: ['before', afterWord(report), 'from', 'to'],
    rows: numbers.map(({ before, after, from, to }, k) => [
      names[k]!,
      valueText(before),
      valueText(after),
      valueText(from),
      valueText(to),
    ]),
  };
}

function cycleSections(report: TuneReport): Section[] {
  const { cycles, means, objective } = report;
  const saving =
    objective.figure === 'saving_vs_baseline_pct'
      ? ('saving_vs_baseline_pct' as const)
      : ('saving_vs_stop_start_pct' as const);
  const figures = ({ before, after }: BeforeAfter<ShownFigures>) =>
    [
      fixed(before.fuel_store_L_per_100km, 3),
      fixed(after.fuel_store_L_per_100km, 3),
      fixed(before[saving], 2),
      fixed(after[saving], 2),
    ] as const;
  const after = afterWord(report);
  const section = (title: string, isHeld: boolean, mean: BeforeAfter<ShownFigures>): Section => {
    const own = cycles.filter(({ held_back: held }) => held === isHeld);
    const rows: SectionRow[] = own.map((cycle) => [
      `${printable(cycle.cycle)} (${fixed(cycle.share / PERCENT, 0)} %)`,
      ...figures(cycle),
    ]);
    return {
      title,
      columns: ['L/100 km', after, 'saving, %', after],
      rows: own.length > 1 ? [...rows, ['mean', ...figures(mean)]] : rows,
    };
  };
  const against = saving === 'saving_vs_baseline_pct' ? 'the car as it is' : 'stop-start';
  const tuned = section('Tuned cycles (share)', false, means.tuned);
  const notes = [`Fuel with the store, and saving against ${against}: before and ${after}.`];
  if (means.held_back === null) return [{ ...tuned, notes }];
  return [tuned, { ...section('Held-back cycles (share)', true, means.held_back), notes }];
}

function constraintSection(report: TuneReport): Section {
  const { constraints } = report;
  const broken = constraints.filter(({ before }) => !before.holds).length;
  return {
    title: 'Constraints',
    columns: ['limit', 'before', afterWord(report), 'slack'],
    rows: constraints.map((constraint) => {
      const { name, before, after } = constraint;
      const slack = after.holds ? figureText(after.slack) : `${figureText(after.slack)} !`;
      return [
        printable(name),
        limitsText(constraint),
        figureText(before.value),
        figureText(after.value),
        slack,
      ];
    }),
    notes: [
      'Of every constraint the cycle that is nearest to its limit; slack is the way that is left to it, negative (!) beyond it.',
      ...(broken > 0 ? ['The numbers of the files do not hold all of them.'] : []),
    ],
  };
}

function flatnessSection(report: TuneReport): Section {
  const { numbers } = report;
  const { step } = figureWords(report);
  const names = namesOf(numbers);
  const move = (number: NumberReport, wanted: MoveReport['direction']) => {
    const one = number.moved.find(({ direction }) => direction === wanted);
    if (one !== undefined) return lossText(one, decimalsOf(report));
    return number.after === number[wanted === 'down' ? 'from' : 'to'] ? 'at bound' : '–';
  };
  return {
    title: 'What hangs on each number',
    columns: ['best from', 'best to', '10 % down', '10 % up'],
    rows: numbers.map((number, k) => {
      const { best_tenth: best } = number;
      return [
        names[k]!,
        best === null ? '–' : valueText(best[0]),
        best === null ? '–' : valueText(best[1]),
        move(number, 'down'),
        move(number, 'up'),
      ];
    }),
    notes: [
      `Where the number stands in the best tenth of the sets tried; and what it costs, in ${step}, to move it alone by 10 % of its range (* breaks a constraint).`,
      ...(numbers.every(isLookedAround)
        ? []
        : ['– was not tried: the budget had come to its end. Allow more `budget.evaluations`.']),
      ...flatWords(report),
    ],
  };
}

function lossText({ loss, state }: MoveReport, decimals: number): string {
  if (loss === null) return state === 'broken' ? '*' : state;
  return `${fixed(loss, decimals)}${state === 'broken' ? ' *' : ''}`;
}
