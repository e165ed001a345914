import { beforeAll, describe, expect, it } from 'vitest';
import { curvePlot } from '../../src/output/curve-plot.ts';
import { jsonText } from '../../src/output/json.ts';
import { type Paint, plainPaint } from '../../src/output/paint.ts';
import { studyJson } from '../../src/output/study-json.ts';
import { clipped, shortNames, sizeText, valueText } from '../../src/output/study-names.ts';
import { type StudyReport, studyReport } from '../../src/output/study-report.ts';
import { studyTable } from '../../src/output/study-table.ts';
import type { Curve } from '../../src/study/curves.ts';
import { findKnee } from '../../src/study/knee.ts';
import { Ranker, type RankingRules } from '../../src/study/rank.ts';
import type { StudyRecord } from '../../src/study/record.ts';
import { doneRecord, failedRecord } from '../study/records.ts';

const ENERGY = 'store.rotor.energy_at_max_kJ';
const POWER = 'store.power_limit_kW';
const TOOL = 'spinledger 9.9.9';

function report(
  records: readonly StudyRecord[],
  rules: Partial<RankingRules> = {},
  name = 'sizes',
): StudyReport {
  const ranker = new Ranker({ varied: [], cycleShares: null, tolerance: 0.5, ...rules });
  for (const record of records) ranker.add(record);
  return studyReport(name, TOOL, ranker.ranking());
}

function table(records: readonly StudyRecord[], rules: Partial<RankingRules> = {}): string {
  return studyTable(report(records, rules), plainPaint);
}

/** The text with its line breaks taken out. */
const joined = (text: string) => text.replaceAll(/\n +|\n/g, ' ');

/** A study of two cars with long names, five sizes at two powers, on three cycles; one case fails. */
function sizes(): StudyReport {
  const records = ['a-very-long-name-of-an-estate-car', 'van'].flatMap((car) =>
    [100, 200, 300, 400, 500].flatMap((energy, k) =>
      [30, 60].flatMap((power) =>
        ['town', 'road', 'hills'].map((cycle) => {
          const saved = [0, 0.3, 0.4, 0.45, 0.475][k]! * (power === 60 ? 1 : 0.8);
          const made = {
            car,
            cycle,
            varied: { [ENERGY]: energy, [POWER]: power },
            fuel: [5, 4.8, 5 - saved] as const,
            slope: cycle === 'road',
            shortfall: energy === 500 ? 0.7 : 0,
          };
          const isLost = car === 'van' && energy === 300 && power === 30 && cycle === 'road';
          return isLost ? failedRecord(made, 'it broke') : doneRecord(made);
        }),
      ),
    ),
  );
  return report(records, { varied: [ENERGY, POWER], cycleShares: { town: 1, road: 3 } });
}

describe('the table of a study', () => {
  let text = '';
  let lines: string[] = [];
  beforeAll(() => {
    text = studyTable(sizes(), plainPaint);
    lines = text.split('\n');
  });

  it('fits one screen of 60 lines and 90 columns', () => {
    expect(lines.length - 1).toBeLessThanOrEqual(60);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(90);
    expect(lines.at(-1)).toBe('');
    expect(lines.filter((line) => line !== line.trimEnd())).toEqual([]);
  });

  it('begins with what it is of, and over what its means are', () => {
    expect(lines.slice(0, 5)).toEqual([
      'sizes',
      '60 cases, 1 of them failed; spinledger 9.9.9',
      'All with store b, strategy c.',
      'Means over town 25.0 %, road 75.0 % of the distance.',
      'Without a share, so in no mean: hills.',
    ]);
  });

  it('shows the best ten and the worst three, and counts the others', () => {
    const places = lines.flatMap((line) => /^ *(\d+) +[av]/.exec(line)?.[1] ?? []);
    expect(places.map(Number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 17, 18, 19]);
    expect(lines).toContain('… 7 more');
  });

  it('prints means and savings under their headers', () => {
    const header = lines.find((line) => line.includes('without'));
    const best = lines.find((line) => line.trimStart().startsWith('1 '));
    expect(header).toMatch(/^ +car +\S+ +\S+ +without +with +saving +stop-st\.$/);
    // 1 - 4.525/5 = 9.5 %, 1 - 4.525/4.8 = 5.73 %; half of its trace was not followed.
    expect(best).toMatch(/^ *1 +a-\S+ +500 +60 +5\.000 +4\.525 +9\.50 +5\.73 +ts$/);
  });

  it('says what its marks mean, how many there are, and why cases failed', () => {
    const words = joined(text);
    expect(words).toContain('f: 1 case failed.');
    expect(words).toContain(
      '1 by a defect of the program (van, b, c, road; case 0123456789abcdef): it broke',
    );
    expect(words).toContain('g: 1 mean without all of the cycles');
    expect(words).toContain(
      't: in 12 cases the trace was not followed (more than 0.5 % of the tractive energy missing)',
    );
    expect(words).toContain('s: 19 cases with corrected fuel, not balanced by repetition');
  });

  it('names the single cases at both ends, of those that followed their trace', () => {
    // The largest store saves 9.5 %, and lacks 0.7 % of the work.
    expect(joined(text)).toMatch(
      /Highest saving of a single case that followed its trace: 9\.00 % on town with .*? 400,/,
    );
    expect(joined(text)).toContain(
      'Lowest saving of a single case that followed its trace: 0.00 %',
    );
  });

  it('shows the best row on each of its cycles', () => {
    const at = lines.indexOf('The best of them on each cycle');
    expect(lines[at + 1]).toMatch(/^cycle +share % +without +with +saving +stop-st\.$/);
    expect(lines.slice(at + 2, at + 5).map((line) => line.split(/ +/)[0])).toEqual([
      'town',
      'road',
      'hills',
    ]);
    expect(lines[at + 3]).toMatch(/^road +75\.0 +5\.000 +4\.525 +9\.50 +5\.73$/);
  });

  it('tells where more store brings less', () => {
    const words = joined(text);
    // Savings 0, 6, 8, 9, 9.5 %: the knee is at the second value, as the test of the knee works out.
    expect(words).toContain(
      'energy_at_max_kJ (van, power_limit_kW 60): knee at 200 kJ, saving 6.00 %. The saving grows by 6.00 points from 100 to 200 kJ, and by 3.50 from there to 500 kJ.',
    );
    expect(text).not.toContain('no knee can be seen');
  });

  it('has the least fuel over two sizes in order of size', () => {
    const at = lines.indexOf('Least fuel by size of the store');
    // With 60 kW 5 - 0, 0.3 … L/100 km, with 30 kW 0.8 of that less; the best row is of the first car,
    // of which nothing has failed.
    expect(lines.slice(at + 1, at + 8).map((line) => line.trim().split(/ {2,}/))).toEqual([
      ['energy_at_max_kJ', '30', '60'],
      ['100', '5.000 s', '5.000 s'],
      ['200', '4.760 s', '4.700 s'],
      ['300', '4.680 s', '4.600 s'],
      ['400', '4.640 s', '4.550 s'],
      ['500', '4.620 ts', '4.525 ts'],
      ['In L/100 km, what the best strategy of this study burns: energy_at_max_kJ downwards,'],
    ]);
  });

  it('changes nothing but emphasis when it is painted', () => {
    const mark = (name: string) => (part: string) => `<${name}>${part}</${name}>`;
    const marked: Paint = {
      title: mark('t'),
      strong: mark('s'),
      faint: mark('f'),
      warning: mark('w'),
    };
    const painted = studyTable(sizes(), marked);
    expect(painted).not.toBe(text);
    const bare = painted
      .replace(/<\/?[tsfw]>/g, '')
      .split('\n')
      .map((line) => line.trimEnd());
    expect(bare).toEqual(lines);
  });
});

describe('a small study', () => {
  it('shows all of its rows, and leaves out what is not there', () => {
    const text = table(['x', 'y', 'z'].map((store) => doneRecord({ store })));
    expect(text).toContain('3 cases; spinledger');
    expect(text).toContain('All with car a, strategy c.');
    expect(text).toContain('On d.');
    expect(text).toMatch(/\n3 {2}z /);
    for (const word of ['more', 'failed', 'mean', 'single case', 'each cycle', 'knee']) {
      expect(text).not.toContain(word);
    }
  });

  it('says that cycles have the same share where none are given', () => {
    const text = table(['x', 'y'].map((cycle) => doneRecord({ cycle })));
    expect(text).toContain('Means over x, y, all with the same share of the distance.');
    expect(text).toContain('Highest saving of a single case: 10.00 % on x.');
  });

  it('counts cycles when there are many', () => {
    const text = table(Array.from({ length: 20 }, (_, k) => doneRecord({ cycle: `c${k}` })));
    expect(joined(text)).toContain('c5, 14 more, all with the same share of the distance.');
    expect(text).toContain('… 12 more');
  });

  it('prints a row without figures as one, and says why its cases failed', () => {
    const text = table([failedRecord({ car: 'x' }, 'no such\nroad', 'input'), doneRecord()]);
    expect(text).toMatch(/\n2 {2}x +– +– +– +– {2}f\n/);
    expect(text).toContain(
      '1 by their inputs (x, b, c, d; case 0123456789abcdef): no such\\u000aroad',
    );
  });

  it('of failed cases alone, or of none, is printed as well', () => {
    expect(table([failedRecord()])).toContain('1 case, 1 of them failed');
    expect(table([])).toContain('0 cases; spinledger');
  });

  it('lets no name steer the terminal', () => {
    const text = table([doneRecord({ car: 'x\u001b[2J' }), doneRecord({ car: 'y' })]);
    expect(text).not.toContain('\u001b');
    expect(text).toContain('x\\u001b[2J');
  });
});

describe('what is said of a curve', () => {
  const words = (savings: readonly number[], values = savings.map((_, k) => 10 * (k + 1))) =>
    joined(
      table(
        savings.map((percent, k) =>
          doneRecord({
            varied: { [POWER]: values[k]! },
            fuel: [5, 5, 5 * (1 - percent / 100)],
          }),
        ),
        { varied: [POWER] },
      ),
    );

  it('is drawn where there is one size, and with two left to the grid of them', () => {
    const savings = [0, 6, 8, 9, 9.5];
    const records = (powers: readonly number[]) =>
      savings.flatMap((percent, k) =>
        powers.map((power) =>
          doneRecord({
            varied: { [ENERGY]: 100 * (k + 1), [POWER]: power },
            fuel: [5, 5, 5 * (1 - percent / 100) + (power === 30 ? 0.1 : 0)],
          }),
        ),
      );
    const one = table(records([60]), { varied: [ENERGY, POWER] });
    expect(one).toMatch(/\n {3}9\.50 │ +• +•\n/);
    expect(one).toContain('◆');
    const two = table(records([30, 60]), { varied: [ENERGY, POWER] });
    expect(joined(two)).toContain('knee at 200 kJ');
    expect(two).not.toContain('◆');
    expect(two).toContain('Least fuel by size of the store');
    const bounded = records([30, 60]).map((record) => ({
      ...record,
      fuel: { ...record.fuel, bound_L_per_100km: 4 },
    }));
    expect(table(bounded, { varied: [ENERGY, POWER] })).toContain('○');
  });

  it.each([
    [
      [1, 2, 3, 4],
      'no knee, the saving still rises at the end of the range (40 kW); widen the range.',
    ],
    [[4, 3, 2, 1], 'no knee, the saving falls from the least value (10 kW) on.'],
    [[4, 4.01, 4.02, 4], 'no knee, it hardly changes the saving.'],
    [[1, 2, 3], 'no knee can be seen with 3 values; give four or more.'],
    [
      [0, 1, 2, 3, 2, 1],
      'no bend before the highest saving, 3.00 % at 40 kW; beyond it the saving falls.',
    ],
    [
      [0, 6, 8, 9, 9.5, 7],
      'knee at 20 kW, saving 6.00 %. The saving grows by 6.00 points from 10 to 20 kW, and by 3.50 from there to 50 kW; beyond that it falls.',
    ],
  ])('of %j is: %s', (savings, told) => {
    expect(words(savings)).toContain(`power_limit_kW: ${told}`);
  });

  it('counts curves when there are many', () => {
    const records = Array.from({ length: 9 }, (_, car) =>
      [0, 6, 8, 9].map((percent, k) =>
        doneRecord({
          car: `car ${car}`,
          varied: { [POWER]: k },
          fuel: [5, 5, 5 * (1 - percent / 100)],
        }),
      ),
    ).flat();
    expect(joined(table(records, { varied: [POWER] }))).toContain('3 more curves of other parts.');
  });
});

describe('names of varied numbers', () => {
  it('are as short as they can be told apart', () => {
    expect(shortNames([ENERGY, POWER])).toEqual(['energy_at_max_kJ', 'power_limit_kW']);
    expect(shortNames(['car.mass_kg', 'store.mass_kg'])).toEqual(['car.mass_kg', 'store.mass_kg']);
    expect(shortNames(['car.gearbox.ratios.0', 'car.gearbox.ratios.1'])).toEqual([
      'ratios.0',
      'ratios.1',
    ]);
  });

  it('lose their middle where there is no room', () => {
    expect(clipped('power_limit_kW', 14)).toBe('power_limit_kW');
    expect(clipped('power_limit_kW', 9)).toBe('powe…t_kW');
    expect(clipped('power_limit_kW', 8)).toHaveLength(8);
  });

  it('have values with the unit that their path ends in, if it is one word', () => {
    const paths = [ENERGY, 'store.losses.share_pct', 'car.mass_kg', 'strategy.x.speed_kmh'];
    expect(paths.map((path) => sizeText(path, 2.5))).toEqual([
      '2.5 kJ',
      '2.5 %',
      '2.5 kg',
      '2.5 km/h',
    ]);
    for (const path of ['store.rotor.inertia_kg_m2', 'car.gearbox.ratios.0']) {
      expect(sizeText(path, 2.5)).toBe('2.5');
    }
  });

  it('have values of six digits at most', () => {
    expect([0.1 + 0.2, 1234567, 30, null].map(valueText)).toEqual(['0.3', '1234570', '30', '']);
  });
});

describe('the picture of a curve', () => {
  const curveOf = (points: readonly (readonly [number, number])[]): Curve => {
    const found = points.map(([value, saving_pct]) => ({ value, saving_pct }));
    const parts = {
      car: 'a',
      store: 'b',
      strategy: 'c',
      path: POWER,
      together: [],
      held: [],
      bound: null,
    };
    return { ...parts, points: found, knee: findKnee(found) };
  };

  it('has a mark for each point, and another for the knee', () => {
    const lines = curvePlot(
      curveOf([
        [0, 0],
        [1, 6],
        [2, 8],
        [3, 9],
        [4, 9.5],
      ]),
    );
    expect(lines).toHaveLength(9);
    expect(lines[0]).toMatch(/^ {3}9\.50 │ {44}• {14}•$/);
    expect(lines[7]).toMatch(/^ {3}0\.00 │•$/);
    expect(lines[8]).toMatch(/^ +└0 ─+ 4$/);
    const text = lines.join('');
    expect(text.match(/•/g)).toHaveLength(4);
    // The knee is at a quarter of 59 columns: the 15th after the axis.
    expect(lines.find((line) => line.includes('◆'))?.indexOf('◆')).toBe(9 + 15);
    expect(text.match(/◆/g)).toHaveLength(1);
  });

  it('has the bound beside it, with marks of its own, on the same axes', () => {
    const own = curveOf([
      [0, 0],
      [2, 2],
      [4, 4],
    ]);
    const { points, knee } = curveOf([
      [0, 0],
      [1, 9],
      [2, 12],
      [3, 13],
      [4, 14],
    ]);
    const lines = curvePlot({ ...own, bound: { points, knee } });
    // Twelve rows: 14 % is the first; 0 % the last, where the strategy hides the bound; 2 % is at
    // 11 · 12 / 14 = 9.4, 4 % at 11 · 10 / 14 = 7.9.
    expect(lines[0]).toMatch(/^ {2}14\.00 │ {59}○$/);
    expect(lines[9]).toMatch(/^ {8}│ {30}•$/);
    expect(lines[11]).toMatch(/^ {3}0\.00 │•$/);
    expect(lines[8]).toMatch(/•$/);
    expect(lines.slice(0, 12).join('').match(/○/g)).toHaveLength(3);
    expect(lines.find((line) => line.includes('◇'))?.indexOf('◇')).toBe(9 + 15);
    expect(lines.at(-1)).toContain('○ any strategy at its best (◇)');
  });

  it('is a line along its top where the saving never changes', () => {
    const lines = curvePlot(
      curveOf([
        [0, 5],
        [1, 5],
        [2, 5],
      ]),
    );
    expect(lines[0]?.match(/•/g)).toHaveLength(3);
  });
});

describe('the JSON of a study', () => {
  it('is its manifest, and what its cases come to together', () => {
    const document = JSON.parse(jsonText(studyJson({ study: 'sizes', cases: 60 }, sizes())));
    expect(document).toMatchObject({
      study: 'sizes',
      cases: 60,
      tolerance_pct: 0.5,
      not_followed: 12,
      slope_corrected: 19,
      failures: [{ kind: 'defect', message: 'it broke', cases: 1 }],
      mean_over: [
        { cycle: 'town', share: 0.25 },
        { cycle: 'road', share: 0.75 },
        { cycle: 'hills', share: 0 },
      ],
      ranking: { rows: 20, omitted: 0, worst: [] },
      knees_omitted: 0,
    });
    expect(document.ranking.best[0]).toMatchObject({
      place: 1,
      varied: { [ENERGY]: 500, [POWER]: 60 },
      complete: true,
      done: 3,
      not_followed: 2,
    });
    expect(document.ranking.best.at(-1)).toMatchObject({ complete: false, failed: 1 });
    expect(document.best_by_cycle).toHaveLength(3);
    expect(document.knees[0]).toMatchObject({ path: ENERGY, kind: 'knee', at: { value: 200 } });
  });

  it('stays small however many cases there are', () => {
    const varied = [POWER];
    const records = Array.from({ length: 3000 }, (_, k) => doneRecord({ varied: { [POWER]: k } }));
    const { ranking } = studyJson({}, report(records, { varied })) as {
      ranking: { best: object[]; worst: object[]; omitted: number };
    };
    expect(ranking.best.length + ranking.worst.length).toBe(1000);
    expect(ranking.omitted).toBe(2000);
  });
});
