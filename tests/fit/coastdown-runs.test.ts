import { describe, expect, it } from 'vitest';
import { InputError, type Problem } from '../../src/config/problem.ts';
import { KMH } from '../../src/config/units.ts';
import { COASTDOWN_FORM, pairRuns } from '../../src/fit/coastdown-runs.ts';
import { readMeasuredTable } from '../../src/fit/measured-table.ts';
import { expectWithin } from '../within.ts';

const ANY = { from: Number.POSITIVE_INFINITY, to: 15 * KMH };

async function* piecesOf(text: string) {
  yield text;
}

async function tableOf(text: string, direction = 'there') {
  const table = await readMeasuredTable(piecesOf(text), 'runs.csv', COASTDOWN_FORM);
  return { table, direction };
}

/** Rows of a run that falls by 2 km/h a second. */
function rows(label: string, from: number, to: number, start = 0): string {
  let text = '';
  for (let t = 0; from - 2 * t >= to; t++) text += `${label},${start + t},${from - 2 * t}\n`;
  return text;
}

async function problemOf(texts: readonly string[], range = ANY): Promise<Problem> {
  const tables = await Promise.all(texts.map((text) => tableOf(text)));
  let thrown: unknown;
  try {
    pairRuns(tables, range);
  } catch (error) {
    thrown = error;
  }
  expect(thrown).toBeInstanceOf(InputError);
  return (thrown as InputError).problems[0]!;
}

const HEADER = 'run,direction,time_s,speed_kmh\n';
const BOTH = `${HEADER}${rows('1,n', 100, 20)}${rows('2,s', 100, 20, 200)}`;

describe('coastdown runs', () => {
  it('are found by their labels, and paired in order', async () => {
    const text = `${BOTH}${rows('3,n', 110, 20, 400)}${rows('4,s', 90, 20, 600)}${rows('5,n', 95, 20, 800)}`;
    const { pairs, alone } = pairRuns([await tableOf(text)], ANY);
    expect(pairs.map(({ there, back }) => [there.name, back.name])).toEqual([
      ['1', '2'],
      ['3', '4'],
    ]);
    expect(alone.map(({ name }) => name)).toEqual(['5']);
    expect(pairs[1]!.there.start).toBe(400);
    expect(pairs[1]!.there.time[3]).toBe(3);
    expectWithin(pairs[1]!.there.speed[0]!, 110 * KMH, 1e-12);
  });

  it('end where the time goes back, without labels', async () => {
    const text = `time_s,speed_kmh\n${rows('', 100, 20).replaceAll(/^,/gm, '')}`;
    const twice = `${text}${rows('', 90, 20).replaceAll(/^,/gm, '')}`;
    const tables = [await tableOf(twice, 'there'), await tableOf(twice, 'back')];
    const { pairs } = pairRuns(tables, ANY);
    expect(pairs.map(({ there }) => there.name)).toEqual(['runs.csv #1', 'runs.csv #2']);
  });

  it('are cut to the range as whole stretches, and what is left out is counted', async () => {
    const { pairs, outside } = pairRuns([await tableOf(BOTH)], { from: 90 * KMH, to: 30 * KMH });
    // 100, 98, … 92 at the top and 28 … 20 at the bottom of each: 5 + 5 of 41.
    expect(outside).toBe(20);
    expectWithin(pairs[0]!.there.speed[0]!, 90 * KMH, 1e-12);
    expectWithin(pairs[0]!.there.speed.at(-1)!, 30 * KMH, 1e-12);
  });

  it('pass over rows without a value, and count them', async () => {
    const text = BOTH.replace('1,n,3,94\n', '1,n,3,\n');
    const { pairs, withoutValue } = pairRuns([await tableOf(text)], ANY);
    expect(withoutValue).toBe(1);
    expect(pairs[0]!.there.time.length).toBe(40);
  });
});

describe('coastdown runs that cannot be used', () => {
  it('name a single direction', async () => {
    const problem = await problemOf([`${HEADER}${rows('1,n', 100, 20)}${rows('2,n', 100, 20)}`]);
    expect(problem).toMatchObject({ code: 'one-direction', file: 'runs.csv' });
    expect(problem.hint).toContain('--back');
  });

  it('name a third direction', async () => {
    const problem = await problemOf([`${BOTH}${rows('3,North', 100, 20, 400)}`]);
    expect(problem).toMatchObject({ code: 'too-many-directions' });
  });

  it('name a run with too few points, or too short a fall', async () => {
    const few = `${HEADER}1,n,0,100\n1,n,20,50\n1,n,40,20\n${rows('2,s', 100, 20)}`;
    expect(await problemOf([few])).toMatchObject({
      code: 'too-few-points',
      path: 'run 1',
      line: 2,
    });
    const short = `${HEADER}${rows('1,n', 100, 20)}${'0123456789ab'
      .split('')
      .map((_, t) => `2,s,${t},${100 - 0.5 * t}\n`)
      .join('')}`;
    expect(await problemOf([short])).toMatchObject({ code: 'too-few-points', path: 'run 2' });
  });

  it('name a range in which there is nothing', async () => {
    const problem = await problemOf([BOTH], { from: 15 * KMH, to: 5 * KMH });
    expect(problem).toMatchObject({ code: 'too-few-points' });
  });

  it('name where the speed rises', async () => {
    const problem = await problemOf([BOTH.replace('1,n,20,60\n', '1,n,20,75\n')]);
    expect(problem).toMatchObject({ code: 'rising-speed', path: 'run 1' });
    expect(problem.found).toContain('rises by 13.0 km/h from 19.0 to 20.0 s');
  });

  it('name a speed that looks like m/s', async () => {
    const slow = `${HEADER}${rows('1,n', 36, 15)}${rows('2,s', 36, 15, 200)}`;
    const problem = await problemOf([slow]);
    expect(problem).toMatchObject({ code: 'unlikely-speed' });
    expect(problem.hint).toContain('speed=HEADER:m_per_s');
  });

  it('name a speed that looks like km/h in a column of m/s', async () => {
    const problem = await problemOf([BOTH.replace('speed_kmh', 'speed_m_per_s')]);
    expect(problem).toMatchObject({ code: 'unlikely-speed' });
    expect(problem.hint).toContain('speed=HEADER:kmh');
  });

  it('name a time that stands still', async () => {
    const problem = await problemOf([BOTH.replace('1,n,20,60\n', '1,n,19,60\n')]);
    expect(problem).toMatchObject({ code: 'time-order', path: 'time_s', line: 22 });
  });
});
