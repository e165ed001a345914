import { InputError, type Problem } from '../config/problem.ts';
import { suggest } from '../config/suggest.ts';
import { BOUND_COLUMNS } from '../study/bound-columns.ts';
import { flatWaterfall } from '../summary/flat.ts';
import { FLAT_COLUMNS } from '../summary/flat-columns.ts';

/** What decides which columns the table of a study has. */
export interface StudyShape {
  /** Paths of the numbers that are varied, in the order of the study. */
  readonly varied: readonly string[];
  /** Whether every case says what each step of its saving is. */
  readonly explain: boolean;
  /** Whether every case is held against its bound. */
  readonly bound: boolean;
}

/** What a case is, before what came out of it. */
const PARTS = ['case_car', 'case_store', 'case_strategy', 'case_cycle'] as const;
const AFTER_VARIED = ['case_hash', 'state', 'error'] as const;

/**
 * All columns of the table of a study, the same whatever its cases come to: what each case is, how
 * it ended, and then every figure of its summary.
 */
export function studyColumns({ varied, explain, bound }: StudyShape): readonly string[] {
  const leading = [...PARTS, ...varied, ...AFTER_VARIED];
  const figures = FLAT_COLUMNS.map(({ name }) => name).filter((name) => !leading.includes(name));
  const steps = explain ? Object.keys(flatWaterfall(undefined)) : [];
  const least = bound ? BOUND_COLUMNS.map(({ name }) => name) : [];
  return [...leading, ...figures, ...steps, ...least];
}

/**
 * The columns that `--columns` asks for, in its order. A `*` at the end takes all columns that begin
 * so, as in `case_*,missed_recovery_*`.
 * @param all columns that there are
 * @param text names with commas between them
 * @throws InputError with every name that is unknown or stands there twice
 */
export function chosenColumns(all: readonly string[], text: string): readonly string[] {
  const problems: Problem[] = [];
  const chosen = new Set<string>();
  for (const name of text.split(',').map((piece) => piece.trim())) {
    const found = columnsNamed(all, name);
    if (found.length === 0) problems.push(unknownColumn(all, name));
    const again = found.find((column) => chosen.has(column));
    if (again !== undefined) problems.push(doubledColumn(again, name));
    for (const column of found) chosen.add(column);
  }
  if (problems.length > 0) throw new InputError(problems);
  return [...chosen];
}

function columnsNamed(all: readonly string[], name: string): readonly string[] {
  if (!name.endsWith('*')) return all.filter((column) => column === name);
  return all.filter((column) => column.startsWith(name.slice(0, -1)));
}

function unknownColumn(all: readonly string[], name: string): Problem {
  if (name === '') {
    return {
      code: 'empty-column',
      file: '--columns',
      found: 'no name between two commas, or none at all',
      expected: 'names of columns, as in case_car,fuel_store_L_per_100km',
    };
  }
  const near = name.endsWith('*')
    ? suggest(name, groupsOf(all))
    : (suggest(name, all) ??
      all.find((column) => column.toLowerCase().includes(name.toLowerCase())));
  return {
    code: 'unknown-column',
    file: '--columns',
    found: name,
    expected: 'a column of the table, or the beginning of some with `*` behind it',
    hint:
      near === undefined
        ? 'without `--columns` all of them are printed: their names stand in the first line'
        : `did you mean \`${near}\`?`,
  };
}

/** What `*` may stand behind: all beginnings that several columns share. */
function groupsOf(all: readonly string[]): readonly string[] {
  const beginnings = all.flatMap((column) => {
    const words = column.split('_');
    return words.slice(1).map((_, k) => `${words.slice(0, k + 1).join('_')}_*`);
  });
  return [...new Set(beginnings.filter((one, k) => beginnings.indexOf(one) !== k))];
}

function doubledColumn(column: string, name: string): Problem {
  return {
    code: 'doubled-column',
    file: '--columns',
    found: name === column ? `${column} twice` : `${column} again by ${name}`,
    expected: 'each column once',
  };
}
