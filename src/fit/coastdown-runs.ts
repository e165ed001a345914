import { InputError, type Problem } from '../config/problem.ts';
import { KMH } from '../config/units.ts';
import type { CoastRun } from './coastdown.ts';
import { DIRECTION, RUN, SPEED, TIME } from './measured-kinds.ts';
import { column, type MeasuredTable, type TableForm, tableProblem } from './measured-table.ts';
import { greatestRise, noiseOf } from './noise.ts';

/** What a table of coastdown runs is read for. */
export const COASTDOWN_FORM: TableForm = {
  what: 'a coastdown log',
  kinds: [TIME, SPEED, RUN, DIRECTION],
  required: ['time', 'speed'],
};

/** A table of runs, and the direction of those that do not name one themselves. */
export interface CoastTable {
  readonly table: MeasuredTable;
  readonly direction: string;
}

/** A run with its name, and where it stands. */
export interface NamedRun extends CoastRun {
  readonly name: string;
  readonly direction: string;
  readonly file: string;
  /** Line of its first sample */
  readonly line: number;
  /** Time of the first sample as logged [s] */
  readonly start: number;
  readonly time: Float64Array;
  readonly speed: Float64Array;
}

/** Two runs that are fitted together. */
export interface NamedPair {
  readonly there: NamedRun;
  readonly back: NamedRun;
}

/** The runs of some tables, in pairs. */
export interface PairedRuns {
  readonly pairs: readonly NamedPair[];
  /** Runs that have no partner in the other direction */
  readonly alone: readonly NamedRun[];
  /** Samples without a time or a speed */
  readonly withoutValue: number;
  /** Samples outside of the range of speeds */
  readonly outside: number;
}

/** Range of speeds that is fitted [m/s]. */
export interface SpeedRange {
  readonly from: number;
  readonly to: number;
}

const LEAST_SAMPLES = 10;
/** Less of a fall tells nothing about the form of the road load [m/s]. */
const LEAST_DROP = 10 * KMH;
/** A coastdown that begins slower cannot tell air drag from rolling [m/s]. */
const LEAST_TOP = 40 * KMH;
const MOST_TOP = 300 * KMH;
/** Mean decelerations of coasting vehicles, from a coach to a car against a storm [m/s²]. */
const DECELERATION = { least: 0.03, most: 2 };
/** A rise of the speed by more than this, and by more than noise makes, is no coasting [m/s]. */
const MOST_RISE = 1 * KMH;
/** White noise does not rise by so many standard deviations in a run. */
const NOISE_RISE = 10;

/**
 * Finds the runs in tables and pairs them: the first run there with the first run back, and so on.
 * A run is a stretch of rows with one run label and one direction; where there is no run column, it
 * ends also where the time goes back.
 *
 * @param tables read as `COASTDOWN_FORM`
 * @param range of speeds that is fitted
 * @throws InputError with everything that is wrong with the runs
 */
export function pairRuns(tables: readonly CoastTable[], range: SpeedRange): PairedRuns {
  const found = tables.map((table) => runsOf(table, range));
  const runs = found.flatMap((one) => one.runs);
  const problems = runs.flatMap(runProblems);
  if (problems.length > 0) throw new InputError(problems);
  const directions = [...new Set(runs.map(({ direction }) => direction))];
  if (directions.length !== 2) throw new InputError([directionProblem(tables, directions)]);
  const [there, back] = directions.map((name) => runs.filter((run) => run.direction === name)) as [
    NamedRun[],
    NamedRun[],
  ];
  const count = Math.min(there.length, back.length);
  return {
    pairs: there.slice(0, count).map((run, k) => ({ there: run, back: back[k]! })),
    alone: [...there.slice(count), ...back.slice(count)],
    withoutValue: found.reduce((sum, one) => sum + one.withoutValue, 0),
    outside: found.reduce((sum, one) => sum + one.outside, 0),
  };
}

function runsOf(
  { table, direction }: CoastTable,
  range: SpeedRange,
): { runs: NamedRun[]; withoutValue: number; outside: number } {
  const time = column(table, 'time');
  const speed = column(table, 'speed');
  const labels = table.labels.get('run');
  const directions = table.labels.get('direction');
  const runs: NamedRun[] = [];
  let rows: number[] = [];
  let withoutValue = 0;
  let outside = 0;
  let last = -1;
  const close = (): void => {
    const all = rows.length;
    rows = rowsWithin(rows, speed, range);
    outside += all - rows.length;
    const first = rows[0];
    if (first !== undefined) {
      const label = labels?.[first];
      const number = runs.length + 1;
      runs.push({
        name: label === undefined ? `${table.file} #${number}` : label,
        direction: directions?.[first] ?? direction,
        file: table.file,
        line: table.line[first]!,
        start: time[first]!,
        time: Float64Array.from(rows, (row) => time[row]! - time[first]!),
        speed: Float64Array.from(rows, (row) => speed[row]!),
      });
    }
    rows = [];
  };
  for (let row = 0; row < table.count; row++) {
    if (Number.isNaN(time[row]!) || Number.isNaN(speed[row]!)) {
      withoutValue++;
      continue;
    }
    const isOther =
      last >= 0 &&
      (labels?.[row] !== labels?.[last] ||
        directions?.[row] !== directions?.[last] ||
        (labels === undefined && time[row]! < time[last]!));
    if (isOther) close();
    else if (last >= 0 && time[row]! <= time[last]!) throw timeStands(table, row);
    last = row;
    rows.push(row);
  }
  close();
  if (runs.length === 0) throw noRun(table, range);
  return { runs, withoutValue, outside };
}

/**
 * The rows of a run from the first speed within the range to the last before the first one below it:
 * to take or leave each sample by its own noise would bend both ends.
 */
function rowsWithin(rows: readonly number[], speed: Float64Array, range: SpeedRange): number[] {
  const begin = rows.findIndex((row) => speed[row]! <= range.from);
  if (begin < 0) return [];
  const end = rows.findIndex((row, k) => k > begin && speed[row]! < range.to);
  return rows.slice(begin, end < 0 ? rows.length : end);
}

function timeStands(table: MeasuredTable, row: number): InputError {
  return tableProblem(table, row, {
    code: 'time-order',
    path: table.columns.find(({ kind }) => kind.quantity === 'time')!.header,
    expected: 'a later time than in the row before it, within a run',
    hint: 'give each run a label of its own in a `run` column, or a file of its own',
  });
}

function noRun(table: MeasuredTable, { from, to }: SpeedRange): InputError {
  return tableProblem(table, undefined, {
    code: 'too-few-points',
    found: 'no sample within the range of speeds',
    expected: `speeds from ${kmh(to)} to ${kmh(from)} km/h`,
    hint: 'set the range with `--from` and `--to`, and see whether the unit of the speed is right',
  });
}

function runProblems(run: NamedRun): Problem[] {
  const { name, file, line, time, speed } = run;
  const place = { file, line, path: `run ${name}` };
  const count = time.length;
  const drop = speed[0]! - speed[count - 1]!;
  if (count < LEAST_SAMPLES || drop < LEAST_DROP) {
    return [
      {
        code: 'too-few-points',
        ...place,
        found: `${count} samples, from ${kmh(speed[0]!)} to ${kmh(speed[count - 1]!)} km/h`,
        expected: `${LEAST_SAMPLES} samples at least, in which the car slows down by ${kmh(LEAST_DROP)} km/h at least`,
        hint: 'is the range of `--from` and `--to` too narrow, or a line of another run among these?',
      },
    ];
  }
  const rise = greatestRise(speed);
  const noise = noiseOf(speed);
  if (rise.height > Math.max(MOST_RISE, NOISE_RISE * noise)) {
    return [
      {
        code: 'rising-speed',
        ...place,
        found: `the speed rises by ${kmh(rise.height)} km/h from ${seconds(run, rise.from)} to ${seconds(run, rise.to)} s`,
        expected: 'a car that coasts, so that its speed only falls',
        hint: 'cut the run where the car was driven, or give each run a label in a `run` column',
      },
    ];
  }
  return unitProblems(run, place);
}

function unitProblems({ speed, time }: NamedRun, place: Partial<Problem>): Problem[] {
  const top = speed.reduce((a, b) => Math.max(a, b));
  if (top >= LEAST_TOP && top <= MOST_TOP) {
    const mean = (speed[0]! - speed.at(-1)!) / time.at(-1)!;
    if (mean >= DECELERATION.least && mean <= DECELERATION.most) return [];
    return [
      {
        code: 'unlikely-deceleration',
        ...place,
        found: `a mean deceleration of ${Number(mean.toPrecision(3))} m/s²`,
        expected: `${DECELERATION.least} to ${DECELERATION.most} m/s², as coasting cars have`,
        hint: 'are the units of time and speed right? `--columns time=HEADER:s` and the like say them',
      },
    ];
  }
  const isSlow = top < LEAST_TOP;
  return [
    {
      code: 'unlikely-speed',
      ...place,
      found: `a highest speed of ${kmh(top)} km/h`,
      expected: `${kmh(LEAST_TOP)} to ${kmh(MOST_TOP)} km/h: from less, air drag cannot be told from rolling`,
      hint: isSlow
        ? 'are these numbers m/s? Then say so: `--columns speed=HEADER:m_per_s`, or rename the header'
        : 'are these numbers km/h? Then say so: `--columns speed=HEADER:kmh`, or rename the header',
    },
  ];
}

function directionProblem(tables: readonly CoastTable[], directions: readonly string[]): Problem {
  const { table } = tables[0]!;
  const names = directions.map((name) => `\`${name}\``).join(', ');
  return directions.length < 2
    ? {
        code: 'one-direction',
        file: table.file,
        found: `runs in one direction only: ${names}`,
        expected: 'runs in both directions, so that wind and slope cancel',
        hint: 'name the files of the other direction behind `--back`, or add a `direction` column',
      }
    : {
        code: 'too-many-directions',
        file: table.file,
        found: `${directions.length} directions: ${names}`,
        expected: 'two directions of one road',
        hint: 'write the same word for the same direction in every row and file',
      };
}

function kmh(speed: number): string {
  return Number.isFinite(speed) ? (speed / KMH).toFixed(1) : 'any number of';
}

function seconds({ time, start }: NamedRun, row: number): string {
  return (start + time[row]!).toFixed(1);
}
