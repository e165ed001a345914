import { describe, expect, it } from 'vitest';
import { exampleData } from '../config/drafts.ts';
import { ONE, planOf, studyProblems } from './planned.ts';

/** The only problem of a study. */
async function problemOf(study: object, files?: Readonly<Record<string, string>>) {
  const problems = await studyProblems(study, files);
  expect(problems).toHaveLength(1);
  return problems[0]!;
}

describe('the parts of a study', () => {
  it.each([
    [{ cars: ['estat'] }, 'unknown-car', 'estat: no car and no file', 'did you mean `estate`?'],
    [{ stores: ['./rim.json'] }, 'no-file', 'rim.json: no such file', '`study.json`|holds'],
    [{ strategies: ['*.jsn'] }, 'no-match', '"*.jsn"', 'a pattern has forward slashes'],
    [{ cycles: ['uds'] }, 'unknown-cycle', 'uds: no cycle', 'did you mean `udds`?'],
    [{ cycles: ['2*udds +  '] }, 'composition', 'character', 'a cycle is made of'],
    [{ cycles: ['logs/**/*.csv'] }, 'no-match', '"logs/**/*.csv"', 'a pattern has'],
    [{ cycles: ['100000*udds'] }, 'composition', '100000*udds', 'a cycle is made of'],
    [{ stores: ['./a\0b.json'] }, 'unreadable', 'ERR_INVALID_ARG_VALUE', ''],
    [{ stores: [`./${'x'.repeat(5000)}.json`] }, 'unreadable', 'ENAMETOOLONG', ''],
  ])('are looked for where the study says: %o', async (part, code, found, hint) => {
    const problem = await problemOf({ ...ONE, ...part });
    const [key] = Object.keys(part);
    expect(problem).toMatchObject({ code, file: 'study.json', path: `${key}[0]` });
    expect(problem.line).toBeGreaterThan(1);
    expect(problem.found).toContain(found);
    expect(problem.hint ?? '').toMatch(hint.includes('|') ? new RegExp(hint) : hint);
  });

  it.each(['a\0b', 'x'.repeat(5000)])('may have names that no file can have', async (name) => {
    const problems = await studyProblems({ ...ONE, cars: [name], cycles: [name] });
    expect(problems.map(({ code }) => code)).toEqual(['unknown-car', 'unknown-cycle']);
  });

  it('are checked in their own files, and as values at their place in the study', async () => {
    const store = exampleData('stores/rim-60.json');
    const bad = structuredClone(store);
    bad.rotor.min_speed_rpm = 70_000;
    const inline = structuredClone(store);
    inline.name = 'inline';
    inline.transmission.ratio_low = 400;
    const problems = await studyProblems(
      { ...ONE, stores: ['bad.json', inline] },
      { 'bad.json': JSON.stringify(bad, null, 2) },
    );
    expect(problems).toMatchObject([
      {
        code: 'inconsistent',
        file: 'study.json',
        path: 'stores[1].transmission.ratio_high',
        found: '300',
      },
      { code: 'inconsistent', file: 'bad.json', path: 'rotor.min_speed_rpm', found: '70000' },
    ]);
    expect(problems.every(({ line }) => line !== undefined)).toBe(true);
  });

  it('that stand in the study are held to their schema, keys they do not know named once', async () => {
    const inline = { ...exampleData('stores/rim-60.json'), power_limit: 3 };
    delete inline.power_limit_kW;
    expect(await studyProblems({ ...ONE, stores: [inline] })).toMatchObject([
      {
        code: 'unknown-key',
        path: 'stores[0].power_limit',
        hint: expect.stringContaining('did you mean `power_limit_kW`?'),
      },
    ]);
  });

  it('have names that tell them apart', async () => {
    const other = { ...exampleData('stores/rim-45.json'), name: 'rim-60' };
    expect(await problemOf({ ...ONE, stores: ['rim-60', other] })).toMatchObject({
      code: 'same-name',
      path: 'stores[1]',
      found: expect.stringMatching(/^rim-60, as .*rim-60\.json is called too$/),
    });
    const cycle = (speed: number) => ({
      name: 'c',
      time_s: [0, 10, 20],
      speed_kmh: [0, speed, 0],
    });
    expect(await problemOf({ ...ONE, cycles: [cycle(20), cycle(21)] })).toMatchObject({
      code: 'same-name',
      path: 'cycles[1]',
      found: 'c, as `cycles[0]` is called too',
    });
  });

  it('that are logs which need a flag are made into cycles by a command, which is told', async () => {
    const files = {
      'mine 1.csv': 'time;speed\n0;0\n1;3\n2;0\n',
      'miles.csv': 'time,speed\n0,0\n1,3\n2,0\n',
    };
    const problems = await studyProblems({ ...ONE, cycles: ["'mine 1.csv'", 'miles.csv'] }, files);
    const hints = problems.map(({ hint }) => hint?.replace(/\/[^ ']*\//g, ''));
    expect(hints).toEqual([
      expect.stringMatching(
        /read it with `--delimiter ';'`.*; a study takes no such flag: make a cycle of the log first, `spinledger cycle convert 'mine 1\.csv' 'mine 1-cycle\.csv' --delimiter ';'`, and name that one$/,
      ),
      expect.stringMatching(
        /`spinledger cycle convert miles\.csv miles-cycle\.csv --columns speed='speed:/,
      ),
    ]);
  });

  it('that are samples of a cycle are told in the units of their keys', async () => {
    const cycle = { name: 'c', time_s: [0, 10, 10], speed_kmh: [0, -3, 0] };
    expect(await studyProblems({ ...ONE, cycles: [cycle] })).toMatchObject([
      { code: 'time-order', path: 'cycles[0].time_s[2]', found: '10', line: 18 },
      { code: 'negative-speed', path: 'cycles[0].speed_kmh[1]', found: '-3', line: 22 },
    ]);
  });

  it('of a cycle are told once where a text stands for a list', async () => {
    const cycle = { name: 'c', time_s: '0', speed_kmh: [0, 9] };
    expect(await problemOf({ ...ONE, cycles: [cycle] })).toMatchObject({
      path: 'cycles[0].time_s',
      found: '"0"',
    });
  });

  it('of a cycle have the height or the grade, not both', async () => {
    const samples = { time_s: [0, 10], speed_kmh: [0, 9], altitude_m: [0, 0], grade_pct: [0, 0] };
    expect(await problemOf({ ...ONE, cycles: [{ name: 'c', ...samples }] })).toMatchObject({
      code: 'conflicting-keys',
      path: 'cycles[0].grade_pct',
    });
  });

  it('are listed, all four kinds, or named by cases', async () => {
    expect(await studyProblems({ name: 'none', stores: ['rim-60'] })).toMatchObject([
      { code: 'missing-key', path: 'cars' },
      { code: 'missing-key', path: 'strategies' },
      { code: 'missing-key', path: 'cycles' },
    ]);
  });
});

describe('a path of a study', () => {
  it.each([
    ['sore.mass_kg', 'a path such as', 'did you mean `store`?'],
    ['cycle.factor', 'a path such as', 'udds@0.95'],
    ['store', 'a path such as', 'what follows `store.`'],
    ['store..mass_kg', 'a path such as', 'what follows `store.`'],
    [
      'store.rotr.min_speed_rpm',
      '`store` has `mass_kg`, `axle`, `rotor`',
      'did you mean `store.rotor.min_speed_rpm`?',
    ],
    [
      'store.power_limit',
      'one of the keys',
      'did you mean `store.power_limit_kW`? its unit stands at the end',
    ],
    ['store.energy_at_max_kJ', 'one of', 'did you mean `store.rotor.energy_at_max_kJ`?'],
    ['car.gearbox.ratios[0]', 'dots between the keys', 'did you mean `car.gearbox.ratios.0`?'],
    ['car.gearbox.ratios[2', 'dots between the keys', 'did you mean `car.gearbox.ratios.2`?'],
    ['car["mass_kg"]', 'a path such as', 'did you mean `car.mass_kg`?'],
    ['car.gear_box.ratio[0]', '`car` has `mass_kg`', 'did you mean `car.gearbox.ratios.0`?'],
    ['car.ratios[0]', '`car` has `mass_kg`', 'did you mean `car.gearbox.ratios.0`?'],
    ['car.gearbox.ratios[6]', '`car.gearbox.ratios.0` to `car.gearbox.ratios.5`', undefined],
    ['store.rotor[0]', '`store.rotor` has `energy_at_max_kJ`', undefined],
    ['store.axle', 'a path that ends at a number; "rear" stands there', undefined],
    ['store.rotor', 'as `store.rotor.energy_at_max_kJ`', undefined],
    ['store.mass_kg.x', 'a path that ends at `store.mass_kg`', undefined],
    ['store.constructor.name', '`store` has', 'write `constructor`'],
    ['car.gearbox.ratios.6', '`car.gearbox.ratios.0` to `car.gearbox.ratios.5`', undefined],
    ['car.gearbox.ratios', '`car.gearbox.ratios.0 … car.gearbox.ratios.5`', undefined],
    ['strategy.keep_off.floor_pct', '`strategy` has `stop_start`, `coast`', 'would be switched on'],
  ])('leads to a number that is there: %s', async (path, expected, hint) => {
    const problem = await problemOf({ ...ONE, vary: [{ path, list: [1] }] });
    expect(problem).toMatchObject({ code: 'unknown-path', file: 'study.json', line: 17 });
    expect(problem.expected).toContain(expected);
    expect(problem.hint ?? '').toContain(hint ?? '');
    expect(problem.hint === undefined).toBe(hint === undefined);
  });

  it('names the parts that lack it', async () => {
    const strategies = ['coast', 'recover', 'stop-start'];
    const vary = [{ path: 'strategy.coast.floor_pct', list: [5] }];
    expect(await problemOf({ ...ONE, strategies, vary })).toMatchObject({
      path: 'strategy.coast.floor_pct',
      found: 'no such number in strategy recover, stop-start',
    });
  });

  it('may lead to a key that has a default, but to no parameter of a plug-in that is not there', async () => {
    const strategies = ['plugin'];
    const path = 'strategy.plugin.parameters.recovered_share';
    expect((await planOf({ ...ONE, strategies, vary: [{ path, list: [0.4] }] })).count).toBe(1);
    const misspelt = `${path}s`;
    expect(
      await problemOf({ ...ONE, strategies, vary: [{ path: misspelt, list: [0.4] }] }),
    ).toMatchObject({ hint: `did you mean \`${path}\`?` });
    const preset = { path: 'store.initial_energy_pct', list: [20] };
    expect((await planOf({ ...ONE, vary: [preset] })).count).toBe(1);
  });

  it('stands on one axis only', async () => {
    const vary = [
      { path: 'car.mass_kg', list: [1500] },
      { path: 'car.mass_kg', list: [1600] },
    ];
    expect(await problemOf({ ...ONE, vary })).toMatchObject({
      code: 'duplicate-path',
      path: 'car.mass_kg',
      line: 23,
    });
  });
});

describe('the values of an axis', () => {
  it.each([
    [{ range: { start: 3, stop: 3, count: 4 } }, 'vary[0].range', 'a `stop` that differs'],
    [{ range: { start: 3, stop: 4, count: 1 } }, 'vary[0].range.count', 'a whole number from 2'],
    [{ range: { start: 3, stop: 4, count: 2.5 } }, 'vary[0].range.count', 'a whole number from 2'],
    [{ logarithmic: { start: 0, stop: 4, count: 3 } }, 'vary[0].logarithmic', 'of the same sign'],
    [{ logarithmic: { start: -1, stop: 4, count: 3 } }, 'vary[0].logarithmic', 'of the same sign'],
    [{ range: { start: -1e308, stop: 1e308, count: 3 } }, 'vary[0].range', 'so far apart'],
    [{ logarithmic: { start: 1e-308, stop: 1e308, count: 3 } }, 'vary[0].logarithmic', 'so far'],
    [{ list: [] }, 'vary[0].list', 'a list of 1 to'],
    [{ list: ['60'] }, 'vary[0].list[0]', 'a number'],
    [{}, 'vary[0].list', 'or a `range` or `logarithmic` in its place'],
  ])('make sense: %o', async (values, path, expected) => {
    const vary = [{ path: 'store.mass_kg', ...values }];
    const problem = await problemOf({ ...ONE, vary });
    expect(problem).toMatchObject({ path, expected: expect.stringContaining(expected) });
  });

  it('are held to the range of their number, with the reason, before anything runs', async () => {
    const vary = [
      { path: 'store.power_limit_kW', list: [30, 1200] },
      { path: 'car.mass_kg', range: { start: 90, stop: 100, count: 2 } },
    ];
    expect(await studyProblems({ ...ONE, vary })).toMatchObject([
      {
        code: 'out-of-range',
        file: 'study.json',
        line: 20,
        path: 'store.power_limit_kW',
        found: '1200',
        expected: 'a number from 0.1 to 1000 kW (20 to 100 kW for a car)',
      },
      {
        line: 25,
        path: 'car.mass_kg',
        found: '90',
        expected: expect.stringContaining('100 to 60000 kg'),
      },
    ]);
  });

  it('that do not go together are told with all numbers of their part, and how to leave them out', async () => {
    const vary = [
      { path: 'store.rotor.min_speed_rpm', list: [20_000, 30_000] },
      { path: 'store.rotor.max_speed_rpm', list: [25_000, 60_000] },
      { path: 'car.mass_kg', list: [1500, 1600] },
    ];
    const problem = await problemOf({ ...ONE, vary });
    expect(problem).toMatchObject({
      code: 'inconsistent',
      line: 20,
      path: 'store.rotor.min_speed_rpm',
      found:
        '30000 in store rim-60 with store.rotor.min_speed_rpm = 30000, store.rotor.max_speed_rpm = 25000',
      expected: 'a speed below max_speed_rpm, 25000',
    });
    const entry = /"exclude": (\[.*\])$/.exec(problem.hint!)![1]!;
    expect((await planOf({ ...ONE, vary, exclude: JSON.parse(entry) })).count).toBe(6);
  });

  it('that fail alike are named three times and then counted', async () => {
    const vary = [
      { path: 'store.rotor.min_speed_rpm', range: { start: 60_001, stop: 60_010, count: 10 } },
    ];
    const problems = await studyProblems({ ...ONE, vary });
    expect(problems).toHaveLength(4);
    expect(problems[3]).toMatchObject({ code: 'more-problems', found: '7 more such combinations' });
  });

  it('that a plug-in refuses alike are counted under the number that is varied', async () => {
    const text =
      'export default ({ a }) => { if (a > 0) throw new Error("no"); return { decide() {} }; };';
    const plugin = { module: './p.mjs', parameters: { a: 0 } };
    const problems = await studyProblems(
      {
        ...ONE,
        strategies: [{ name: 'p', plugin }],
        vary: [{ path: 'strategy.plugin.parameters.a', list: [0, 1, 2, 3, 4, 5] }],
      },
      { 'p.mjs': text },
    );
    expect(problems).toHaveLength(4);
    expect(problems.find(({ code }) => code === 'more-problems')).toMatchObject({
      path: 'strategy.plugin.parameters.a',
      found: '2 more such combinations',
    });
  });

  it('come from a table without faults', async () => {
    const csv = 'store.mass_kg,stor.mass_kg\n50\n60,x\n';
    expect(
      await studyProblems({ ...ONE, vary: [{ pairs: 'p.csv' }] }, { 'p.csv': csv }),
    ).toMatchObject([
      {
        code: 'unknown-path',
        file: 'p.csv',
        line: 1,
        path: 'header',
        hint: 'did you mean `store`?',
      },
      {
        code: 'cell-count',
        file: 'p.csv',
        line: 2,
        found: '1 cell',
        expected: '2 cells, as the header has',
      },
      { code: 'not-a-number', file: 'p.csv', line: 3, path: 'column 2', found: 'x' },
    ]);
  });

  it.each([
    ['store.mass_kg;car.mass_kg\n50;1500\n', 'wrong-delimiter', 1],
    ['store.mass_kg,car.mass_kg\n', 'too-few-rows', 1],
    ['store.mass_kg\n"50\n', 'broken-quotes', 2],
  ])('come from a table that can be read: %j', async (csv, code, line) => {
    expect(await problemOf({ ...ONE, vary: [{ pairs: 'p.csv' }] }, { 'p.csv': csv })).toMatchObject(
      { code, file: 'p.csv', line },
    );
  });

  it('stand in one column of a table, and a doubled one is told once', async () => {
    const csv = 'store.mass_kg,stor.mass_kg,store.mass_kg,stor.mass_kg\n1,2,3,4\n';
    const problems = await studyProblems({ ...ONE, vary: [{ pairs: 'p.csv' }] }, { 'p.csv': csv });
    expect(problems).toMatchObject([
      { code: 'duplicate-column', line: 1, found: 'store.mass_kg in columns 1, 3' },
      { code: 'duplicate-column', line: 1, found: 'stor.mass_kg in columns 2, 4' },
      { code: 'unknown-path', hint: 'did you mean `store`?' },
    ]);
    expect(problems).toHaveLength(3);
  });

  it('of a table are told with their row', async () => {
    const csv = 'store.mass_kg\n50\n-1\n';
    expect(await problemOf({ ...ONE, vary: [{ pairs: 'p.csv' }] }, { 'p.csv': csv })).toMatchObject(
      { code: 'out-of-range', file: 'p.csv', line: 3, path: 'store.mass_kg', found: '-1' },
    );
  });

  it('make no more cases than anyone can want', async () => {
    const range = { start: 1, stop: 2, count: 2000 };
    const vary = [
      { path: 'store.mass_kg', range },
      { path: 'car.mass_kg', range },
    ];
    expect(await problemOf({ ...ONE, vary })).toMatchObject({
      code: 'too-many-cases',
      found: '2000 × 2000 = 4000000 combinations',
    });
  });
});

describe('an exclusion', () => {
  const vary = [{ path: 'store.power_limit_kW', list: [30, 40] }];

  it.each([
    [{}, '', 'a condition at least'],
    [{ store: 'rim-6' }, '.store', 'that the study lists: rim-60'],
    [{ stor: 'rim-60' }, '.stor', 'names stand under `car`, `store`'],
    [{ 'store.power_limit_kW': 35 }, '.store.power_limit_kW', 'is 30, 40'],
    [{ 'store.power_limit_kW': { above: 40 } }, '.store.power_limit_kW', 'is 30, 40'],
    [{ 'store.power_limt_kW': 30 }, '.store.power_limt_kW', '`store` has `mass_kg`'],
    [{ 'store.axle': 30 }, '.store.axle', '"rear" stands there'],
    [{ 'store.power_limit_kW': { over: 40 } }, '.store.power_limit_kW.over', '`at_least`'],
    [{ store: 'rim-60' }, undefined, 'exclusions that leave a case'],
  ])('says what is there: %o', async (entry, path, expected) => {
    const problem = await problemOf({ ...ONE, vary, exclude: [entry] });
    expect(problem.path).toBe(path === undefined ? 'exclude' : `exclude[0]${path}`);
    expect(problem.expected).toContain(expected);
  });

  it('whose conditions never hold together is told, since it would pass for a working one', async () => {
    const exclude = [{ store: 'rim-45', 'store.mass_kg': { above: 50 } }];
    expect(await problemOf({ ...ONE, stores: ['rim-45', 'rim-60'], vary, exclude })).toMatchObject({
      code: 'excludes-nothing',
      path: 'exclude[0]',
    });
  });
});

describe('a listed case', () => {
  const CASE = { car: 'estate', store: 'rim-60', strategy: 'coast', cycle: 'udds' };

  it.each([
    [
      { store: 'rim-6' },
      'cases[0].store',
      'that the study lists (rim-60',
      'did you mean "rim-60"?',
    ],
    [{ car: 'esate' }, 'cases[0].car', 'estate', 'did you mean'],
    [{ cycle: '*.csv' }, 'cases[0].cycle', 'one cycle, and no pattern', 'patterns stand'],
    [
      { set: { 'store.mass': 3 } },
      'store.mass',
      'one of the keys',
      'did you mean `store.mass_kg`?',
    ],
    [{ set: { 'stor.mass_kg': 3 } }, 'cases[0].set.stor.mass_kg', 'a path such as', '`store`'],
    [{ set: { 'store.mass_kg': -3 } }, 'store.mass_kg', '0 to 3000 kg', undefined],
    [{ set: { 'store.mass_kg': '3' } }, 'cases[0].set.store.mass_kg', 'a number', 'without quot'],
    [
      { set: { 'store.rotor.min_speed_rpm': 70_000 } },
      'store.rotor.min_speed_rpm',
      'below max_speed_rpm',
      'mend the `set`',
    ],
  ])('is told where it stands: %o', async (entry, path, expected, hint) => {
    const problem = await problemOf({ ...ONE, cases: [{ ...CASE, ...entry }] });
    expect(problem).toMatchObject({ file: 'study.json', path });
    expect(problem.line).toBeGreaterThanOrEqual(17);
    expect(problem.expected).toContain(expected);
    expect(problem.hint ?? '').toContain(hint ?? '');
  });

  it('says which part it has where the study lists several', async () => {
    const { store, ...rest } = CASE;
    const stores = ['rim-45', 'rim-60'];
    expect(await problemOf({ ...ONE, stores, cases: [rest] })).toMatchObject({
      path: 'cases[0].store',
      expected: 'the store of the case, since the study lists 2 of them under `stores`',
    });
  });

  it('does not make up for a list that was forgotten', async () => {
    const { cycles, ...rest } = ONE;
    const stores = ['rim-45', 'rim-60'];
    expect(await problemOf({ ...rest, stores, cases: [CASE] })).toMatchObject({
      code: 'unused',
      path: 'stores',
      hint: expect.stringContaining('`cycles`'),
    });
    const vary = [{ path: 'car.mass_kg', list: [1500] }];
    expect(await problemOf({ ...rest, vary, cases: [CASE] })).toMatchObject({
      code: 'no-product',
      path: 'vary',
    });
  });
});

describe('the shares of cycles', () => {
  it.each([
    [{ udds: 1, nyc: 1, nycc: 1 }, 'cycle_shares.nyc', 'udds, nycc'],
    [{ udds: 1 }, 'cycle_shares', 'a share for each cycle'],
    [{ udds: 0, nycc: 0 }, 'cycle_shares', 'a share above 0'],
    [{ udds: -1, nycc: 2 }, 'cycle_shares.udds', 'a number from 0'],
  ])('are those of its cycles: %o', async (cycle_shares, path, expected) => {
    const problem = await problemOf({ ...ONE, cycles: ['udds', 'nycc'], cycle_shares });
    expect(problem).toMatchObject({ path, expected: expect.stringContaining(expected) });
  });
});

describe('a study with many faults', () => {
  it('tells all of them at once, in file order, those of other files behind', async () => {
    const study = {
      ...ONE,
      cars: ['estat'],
      stores: ['bad.json'],
      vary: [{ path: 'car.mass', list: [1] }],
      cycle_shares: { uds: 1, udds: 1 },
      outputs: { log: true },
    };
    const problems = await studyProblems(study, { 'bad.json': '{ "name": "bad" ]' });
    expect(problems.map(({ file, path }) => `${file} ${path}`)).toEqual([
      'study.json cars[0]',
      'study.json cycle_shares.uds',
      'study.json outputs.log',
      'bad.json column 17',
    ]);
    const lines = problems.slice(0, 3).map(({ line }) => line!);
    expect(lines).toEqual(lines.toSorted((a, b) => a - b));
  });
});
