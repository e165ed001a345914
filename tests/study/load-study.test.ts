import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { runCase } from '../../src/simulate/case.ts';
import { loadStudy } from '../../src/study/load-study.ts';
import { summariseLoaded } from '../../src/summary/loaded-summary.ts';
import { EXAMPLES, exampleData, folderWith } from '../config/drafts.ts';
import { casesOf, ONE, planOf } from './planned.ts';

/** The hash that a run of the same inputs prints. */
async function hashOfRun(car: string, store: string, strategy: string, cycle: string) {
  const loaded = await loadCase({ car, store, strategy, cycle });
  return summariseLoaded(loaded, runCase(loaded.subject)).case.hash;
}

describe('the plan of a study', () => {
  it('has the hash that a run of the same inputs prints', async () => {
    const plan = await planOf(ONE);
    expect(plan.count).toBe(1);
    expect(plan.caseAt(0)).toMatchObject({
      index: 0,
      names: { car: 'estate', store: 'rim-60', strategy: 'coast', cycle: 'udds' },
      values: [],
      hash: await hashOfRun('estate', 'rim-60', 'coast', 'udds'),
    });
  });

  it('has the hash of files into which the varied numbers are written', async () => {
    const plan = await planOf({
      ...ONE,
      cars: ['compact'],
      stores: ['rim-45'],
      cycles: ['nycc'],
      vary: [
        { path: 'car.gearbox.ratios.0', list: [4.5] },
        { path: 'store.initial_energy_pct', list: [40] },
        { path: 'strategy.coast.floor_pct', list: [12] },
      ],
    });
    const car = exampleData('cars/compact.json');
    const store = exampleData('stores/rim-45.json');
    const strategy = exampleData('strategies/coast.json');
    car.gearbox.ratios[0] = 4.5;
    store.initial_energy_pct = 40;
    strategy.coast.floor_pct = 12;
    const folder = folderWith({
      'car.json': JSON.stringify(car),
      'compact-engine.csv': readFileSync(join(EXAMPLES, 'cars/compact-engine.csv'), 'utf8'),
      'store.json': JSON.stringify(store),
      'strategy.json': JSON.stringify(strategy),
    });
    const file = (kind: string) => join(folder, `${kind}.json`);
    expect(plan.hashAt(0)).toBe(
      await hashOfRun(file('car'), file('store'), file('strategy'), 'nycc'),
    );
  });

  it('goes through cars slowest, then stores, strategies, axes in file order, and cycles fastest', async () => {
    const plan = await planOf({
      ...ONE,
      cars: ['estate', 'van'],
      stores: ['rim-45', 'rim-60'],
      strategies: ['coast', 'recover'],
      cycles: ['udds', 'nycc'],
      vary: [
        { path: 'car.mass_kg', list: [2000, 1900] },
        { path: 'store.power_limit_kW', list: [30, 40] },
      ],
    });
    const texts = casesOf(plan).map(({ names, values }) =>
      [...Object.values(names), ...values].join(' '),
    );
    const expected = ['estate', 'van'].flatMap((car) =>
      ['rim-45', 'rim-60'].flatMap((store) =>
        ['coast', 'recover'].flatMap((strategy) =>
          [2000, 1900].flatMap((mass) =>
            [30, 40].flatMap((power) =>
              ['udds', 'nycc'].map((cycle) => [car, store, strategy, cycle, mass, power].join(' ')),
            ),
          ),
        ),
      ),
    );
    expect(texts).toEqual(expected);
    expect(plan.varied).toEqual(['car.mass_kg', 'store.power_limit_kW']);
  });

  it('varies the numbers of a table together, also those of two parts', async () => {
    const plan = await planOf(
      { ...ONE, vary: [{ pairs: 'pairs.csv' }, { path: 'store.mass_kg', list: [50, 60] }] },
      { 'pairs.csv': '# invented\n\ncar.mass_kg, store.power_limit_kW\n1500,30\n1600,40.5\n' },
    );
    expect(plan.varied).toEqual(['car.mass_kg', 'store.power_limit_kW', 'store.mass_kg']);
    expect(casesOf(plan).map(({ values }) => values)).toEqual([
      [1500, 30, 50],
      [1500, 30, 60],
      [1600, 40.5, 50],
      [1600, 40.5, 60],
    ]);
    expect(new Set(casesOf(plan).map(({ inputs }) => inputs.car)).size).toBe(2);
    expect(new Set(casesOf(plan).map(({ inputs }) => inputs.store)).size).toBe(4);
  });

  it('takes files that fit a pattern, sorted by code units whatever the locale', async () => {
    const data = exampleData('strategies/recover.json');
    const file = (name: string) => JSON.stringify({ ...data, name });
    const plan = await planOf(
      { ...ONE, strategies: ['s*.json'], cycles: ['./[ab].csv'] },
      {
        'sb.json': file('b'),
        'sA.json': file('A'),
        'sa.json': file('a'),
        'sä.json': file('ä'),
        'sB.json': file('B'),
        's10.json': file('10'),
        's9.json': file('9'),
        'b.csv': 'time_s,speed_kmh\n0,0\n10,20\n20,0\n',
        'a.csv': 'time_s,speed_kmh\n0,0\n10,30\n20,0\n',
      },
    );
    const names = casesOf(plan).map(({ names: { strategy, cycle } }) => `${strategy} ${cycle}`);
    expect(names).toEqual(
      ['10', '9', 'A', 'B', 'a', 'b', 'ä'].flatMap((name) => [`${name} a`, `${name} b`]),
    );
  });

  it('takes compositions of cycles, files of its own folder among them, and samples', async () => {
    const cycle = 'time_s,speed_kmh\n0,0\n10,20\n20,0\n';
    const plan = await planOf(
      {
        ...ONE,
        cycles: [
          '2*mine.csv + nycc',
          './udds',
          { name: 'held', time_s: [0, 10, 20], speed_kmh: [0, 20, 0] },
        ],
      },
      { 'mine.csv': cycle, udds: cycle.replace('20,0', '30,0') },
    );
    expect(casesOf(plan).map(({ names }) => names.cycle)).toEqual([
      '2*mine.csv + nycc',
      'udds',
      'held',
    ]);
    expect(plan.hashAt(1)).not.toBe(await hashOfRun('estate', 'rim-60', 'coast', 'udds'));
    const folder = folderWith({ 'c.csv': cycle });
    expect(plan.hashAt(2)).toBe(
      await hashOfRun('estate', 'rim-60', 'coast', join(folder, 'c.csv')),
    );
  });

  it.each([
    ['altitude_m', [100, 101.5, 103, 103]],
    ['grade_pct', [0, 2, -3.3, 0]],
  ])('makes of samples with %s what it makes of a file', async (key, road) => {
    const time = [0, 7.3, 30.1, 60];
    const speed = [0, 33.3, 41.7, 0];
    const plan = await planOf({
      ...ONE,
      cycles: [{ name: 'road', time_s: time, speed_kmh: speed, [key]: road }],
    });
    const rows = time.map((instant, k) => `${instant},${speed[k]},${road[k]}`);
    const folder = folderWith({ 'c.csv': `time_s,speed_kmh,${key}\n${rows.join('\n')}\n` });
    expect(plan.hashAt(0)).toBe(
      await hashOfRun('estate', 'rim-60', 'coast', join(folder, 'c.csv')),
    );
  });

  it('puts listed cases behind the product, with what the files say where they set nothing', async () => {
    const plan = await planOf({
      ...ONE,
      vary: [{ path: 'store.power_limit_kW', list: [30] }],
      cases: [
        { store: 'rim-60', set: { 'car.mass_kg': 1500, 'store.power_limit_kW': 35 } },
        { car: 'van', store: 'ideal', cycle: '2*nycc' },
      ],
    });
    expect(plan.varied).toEqual(['store.power_limit_kW', 'car.mass_kg']);
    expect(casesOf(plan).map(({ values }) => values)).toEqual([
      [30, null],
      [35, 1500],
      [null, null],
    ]);
    expect(plan.caseAt(2)).toMatchObject({
      names: { car: 'van', store: 'ideal', strategy: 'coast', cycle: '2*nycc' },
      hash: await hashOfRun('van', 'ideal', 'coast', '2*nycc'),
    });
    expect(plan.inputs.map(({ kind, name }) => `${kind} ${name}`)).toEqual([
      'car estate',
      'car van',
      'store rim-60',
      'store ideal',
      'strategy coast',
      'cycle udds',
      'cycle 2*nycc',
    ]);
  });

  it('may consist of listed cases alone', async () => {
    const plan = await planOf({
      name: 'alone',
      cases: [
        { car: 'estate', store: 'rim-60', strategy: 'coast', cycle: 'udds' },
        { car: 'estate', store: 'rim-60', strategy: 'coast', cycle: 'nycc' },
      ],
    });
    expect(plan.count).toBe(2);
    expect(plan.shape.combinations).toBe(0);
  });

  it('leaves out what is excluded, by names, by varied numbers, and by numbers of the files', async () => {
    const plan = await planOf({
      ...ONE,
      stores: ['rim-45', 'rim-60'],
      cycles: ['udds', 'nycc'],
      vary: [{ path: 'store.power_limit_kW', range: { start: 0.1, stop: 0.7, count: 7 } }],
      exclude: [
        // As a spreadsheet may give it
        { 'store.power_limit_kW': 0.30000000000000004 },
        { store: 'rim-45', cycle: ['nycc'] },
        { 'store.mass_kg': { above: 50 }, 'store.power_limit_kW': { at_least: 0.6 } },
      ],
    });
    const left = casesOf(plan).map(
      ({ names, values }) => `${names.store} ${names.cycle} ${values[0]!.toFixed(1)}`,
    );
    expect(left).toEqual([
      'rim-45 udds 0.1',
      'rim-45 udds 0.2',
      'rim-45 udds 0.4',
      'rim-45 udds 0.5',
      'rim-45 udds 0.6',
      'rim-45 udds 0.7',
      ...['0.1', '0.2', '0.4', '0.5'].flatMap((power) => [
        `rim-60 udds ${power}`,
        `rim-60 nycc ${power}`,
      ]),
    ]);
    expect(plan.shape).toMatchObject({ combinations: 28, excluded: 14 });
    expect(plan.shape.exclusions.map(({ count }) => count)).toEqual([4, 7, 4]);
  });

  it('does not mind what is wrong with a combination that is excluded', async () => {
    const vary = [
      { path: 'store.rotor.min_speed_rpm', list: [20_000, 50_000, 1] },
      { path: 'store.rotor.max_speed_rpm', list: [40_000, 60_000] },
    ];
    const plan = await planOf({
      ...ONE,
      vary,
      exclude: [
        { 'store.rotor.min_speed_rpm': 50_000, 'store.rotor.max_speed_rpm': 40_000 },
        { 'store.rotor.min_speed_rpm': { below: 100 } },
      ],
    });
    expect(plan.count).toBe(3);
  });

  it('runs the same case once, and says so', async () => {
    const plan = await planOf({
      ...ONE,
      vary: [{ path: 'store.power_limit_kW', list: [60, 30, 60] }],
      cases: [{}],
    });
    expect(casesOf(plan).map(({ values }) => values)).toEqual([[60], [30]]);
    expect(plan.notices).toEqual(['2 cases are the same as others: each is run and listed once.']);
  });

  it('takes a part once that is listed twice, and says so', async () => {
    const plan = await planOf(
      { ...ONE, stores: ['rim-60', 'mine.json'], cycles: ['udds', 'udds'] },
      { 'mine.json': JSON.stringify({ ...exampleData('stores/rim-60.json'), notes: 'a copy' }) },
    );
    expect(plan.count).toBe(1);
    expect(plan.notices).toEqual([
      expect.stringMatching(
        /^The store rim-60 is listed twice, as .*rim-60.json and as .*mine.json: it is taken once\.$/,
      ),
      'The cycle udds is listed twice, as udds and as udds: it is taken once.',
    ]);
  });

  it('calls cycles of the same file name by their paths, and says so', async () => {
    const log = (speed: number) => `time_s,speed_kmh\n0,0\n10,${speed}\n20,0\n`;
    const folder = folderWith({ 'udds.csv': log(20) });
    for (const [k, day] of ['monday', 'tuesday', 'wednesday'].entries()) {
      mkdirSync(join(folder, day));
      writeFileSync(join(folder, day, 'log.csv'), log(21 + k));
    }
    const path = join(folder, 'study.json');
    const planFrom = (study: object) => {
      writeFileSync(path, JSON.stringify({ ...ONE, ...study }));
      return loadStudy(path);
    };
    const plan = await planFrom({
      cycles: ['*/log.csv', 'udds', './udds.csv'],
      cases: [{ cycle: 'tuesday/log.csv' }],
      cycle_shares: {
        'monday/log.csv': 1,
        'tuesday/log.csv': 1,
        'wednesday/log.csv': 1,
        udds: 1,
        './udds.csv': 1,
      },
    });
    const names = ['monday/log.csv', 'tuesday/log.csv', 'wednesday/log.csv', 'udds', './udds.csv'];
    expect(casesOf(plan).map((planned) => planned.names.cycle)).toEqual(names);
    expect(plan.inputs.filter(({ kind }) => kind === 'cycle').map(({ name }) => name)).toEqual(
      names,
    );
    expect(plan.notices).toEqual([
      'More than one cycle is called log: results call them by their paths, as monday/log.csv and tuesday/log.csv.',
      'More than one cycle is called udds: results call them by their paths, as ./udds.csv.',
      'One case is the same as another: it is run and listed once.',
    ]);
    const byCase = await planFrom({
      cycles: ['monday/log.csv'],
      cases: [{ cycle: 'tuesday/log.csv' }],
    });
    expect(casesOf(byCase).map((planned) => planned.names.cycle)).toEqual(names.slice(0, 2));
  });

  it('divides the shares of cycles by their sum', async () => {
    const cycles = ['udds', 'nycc'];
    const plan = await planOf({ ...ONE, cycles, cycle_shares: { nycc: 30, udds: 90 } });
    expect(plan.cycleShares).toEqual({ udds: 0.75, nycc: 0.25 });
    expect((await planOf({ ...ONE, cycles })).cycleShares).toBeNull();
  });

  it('names every file that was read', async () => {
    const folder = folderWith({
      'pairs.csv': 'car.mass_kg\n1500\n',
      'c.csv': 'time_s,speed_kmh\n0,0\n10,20\n20,0\n',
    });
    const path = join(folder, 'study.json');
    const study = {
      ...ONE,
      cars: ['compact'],
      strategies: ['plugin'],
      cycles: ['c.csv', 'udds'],
      vary: [{ pairs: 'pairs.csv' }],
    };
    writeFileSync(path, JSON.stringify(study));
    const { files } = await loadStudy(path);
    const names = files.map((file) => file.slice(file.lastIndexOf('/') + 1)).toSorted();
    expect(names).toEqual([
      'c.csv',
      'compact-engine.csv',
      'compact.json',
      'last-speed.mjs',
      'pairs.csv',
      'plugin.json',
      'rim-60.json',
      'study.json',
    ]);
  });

  it('says what was done to logged drives', async () => {
    const log = join(EXAMPLES, 'logs/hill-road.gpx');
    const { drives } = await planOf({ ...ONE, cycles: [log, `2*${log}`, 'udds'] });
    expect(drives.map(({ name, form }) => `${name} ${form}`)).toEqual([
      'hill-road log',
      'udds built-in',
    ]);
    const { changes, counts } = drives[0]!.cleaning!;
    const all = Object.values(counts).reduce((sum, count) => sum + count, 0);
    expect(all).toBeGreaterThan(0);
    expect([changes.time.length, changes.unlisted]).toEqual([0, all]);
  });

  it('has a hash of its own that tells other cases, values, names and outputs', async () => {
    const hash = async (study: object) => (await planOf(study)).hash;
    const one = await hash(ONE);
    expect(await hash({ ...ONE, notes: 'remarks change nothing' })).toBe(one);
    const others = await Promise.all([
      hash({ ...ONE, name: 'other' }),
      hash({ ...ONE, cycles: ['nycc'] }),
      hash({ ...ONE, outputs: { explain: true } }),
      hash({ ...ONE, cycle_shares: { udds: 1 } }),
      hash({ ...ONE, vary: [{ path: 'store.power_limit_kW', list: [60] }] }),
    ]);
    expect(new Set([one, ...others]).size).toBe(6);
  });

  it('is found by the bare name of a shipped study', async () => {
    expect((await loadStudy('fleet')).name).toBe('fleet');
  });

  it('can be asked for any of a hundred thousand cases', async () => {
    const plan = await planOf({
      ...ONE,
      cycles: ['udds', 'nycc', 'hwfet', 'us06', 'jc08', 'nedc', 'wltc-class3b', 'wltc-class2'],
      vary: [
        { path: 'car.mass_kg', range: { start: 1500, stop: 1749, count: 250 } },
        { path: 'strategy.coast.floor_pct', range: { start: 1, stop: 50, count: 50 } },
      ],
    });
    expect(plan.count).toBe(100_000);
    // 61 777 = ((154 · 50 + 22) · 8) + 1
    expect(plan.caseAt(61_777)).toMatchObject({
      index: 61_777,
      values: [1654, 23],
      names: { cycle: 'nycc' },
    });
    expect(plan.caseAt(99_999).values).toEqual([1749, 50]);
    expect(() => plan.caseAt(100_000)).toThrow(RangeError);
    expect(() => plan.hashAt(-1)).toThrow(RangeError);
  });
});
