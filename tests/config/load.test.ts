import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inputHash } from '../../src/config/hash.ts';
import { loadCar, loadCase, loadCycle, loadStore, loadStrategy } from '../../src/config/load.ts';
import { EXAMPLES, exampleData, folderWith, problemsOf } from './drafts.ts';

const at = (name: string) => join(EXAMPLES, name);

describe('loadCase', () => {
  it('loads the four inputs and makes a case of them', async () => {
    const loaded = await loadCase({
      car: at('cars/estate.json'),
      store: at('stores/rim-60.json'),
      strategy: at('strategies/coast.json'),
      cycle: 'nycc',
    });
    expect(
      [loaded.car, loaded.store, loaded.strategy, loaded.cycle].map(({ name }) => name),
    ).toEqual(['estate', 'rim-60', 'coast', 'nycc']);
    expect(loaded.subject.car).toBe(loaded.car.value);
    expect(loaded.subject.store).toBe(loaded.store.value);
    expect(loaded.subject.makeStrategy().name).toBe('coast');
    expect(loaded.subject.trace).toBe(loaded.cycle.value);
  });

  it('says what a strategy combines, and of a plug-in nothing', async () => {
    const combined = await loadStrategy(at('strategies/recover.json'));
    expect(Object.keys(combined.value.behaviours ?? {})).toEqual(['recover', 'assist']);
    const plugIn = await loadStrategy(at('strategies/plugin.json'));
    expect(plugIn.value.behaviours).toBeUndefined();
  });

  it('gathers the problems of all four', async () => {
    const folder = folderWith({
      'car.json': '{ "mass_kg": 1 ',
      'store.json': JSON.stringify({ ...exampleData('stores/rim-60.json'), axle: 'middle' }),
      'strategy.json': '{ "name": "x" }',
    });
    const problems = await problemsOf(
      loadCase({
        car: join(folder, 'car.json'),
        store: join(folder, 'store.json'),
        strategy: join(folder, 'strategy.json'),
        cycle: 'wltp',
      }),
    );
    expect(problems.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['broken-json', 'unknown-value', 'missing-key', 'unknown-cycle']),
    );
    expect(problems).toHaveLength(4);
  });
});

describe('loadCycle', () => {
  it('takes the name of a built-in cycle or the path of a file', async () => {
    const builtIn = await loadCycle('udds');
    expect(builtIn.value.time).toHaveLength(1370);
    const file = await loadCycle(at('cycles/town-hills.csv'));
    expect(file.name).toBe('town-hills');
    expect(file.value.name).toBe('town-hills');
  });

  it('names the cycles there are, and the nearest, for an unknown one', async () => {
    const problems = await problemsOf(loadCycle('wltc'));
    expect(problems).toMatchObject([
      { code: 'unknown-cycle', file: 'wltc', hint: 'did you mean `wltc-class3b`?' },
    ]);
    expect(problems[0]?.expected).toContain('hd-udds');
  });

  it('takes a path for a path', async () => {
    expect(await problemsOf(loadCycle('./udds'))).toMatchObject([{ code: 'no-file' }]);
    expect(await problemsOf(loadCycle('drive.csv'))).toMatchObject([{ code: 'no-file' }]);
  });
});

describe('loadStrategy', () => {
  it('takes the bare name of a strategy of the example set', async () => {
    expect((await loadStrategy('coast')).identity).toEqual(
      (await loadStrategy(at('strategies/coast.json'))).identity,
    );
  });

  it('names the strategies there are, and the nearest, for an unknown one', async () => {
    const problems = await problemsOf(loadStrategy('coats'));
    expect(problems).toMatchObject([{ code: 'unknown-strategy', hint: 'did you mean `coast`?' }]);
  });
});

describe('an identity', () => {
  it('does not depend on place, layout, remarks or defaults written out', async () => {
    const original = await loadStore(at('stores/rim-60.json'));
    const { $schema, notes, ...rest } = exampleData('stores/rim-60.json');
    expect([typeof $schema, typeof notes]).toEqual(['string', 'string']);
    const reversed = Object.fromEntries(Object.entries(rest).toReversed());
    const folder = folderWith({
      'other.json': JSON.stringify({ ...reversed, initial_energy_pct: 0, notes: 'another' }),
    });
    const copy = await loadStore(join(folder, 'other.json'));
    expect(copy.identity).toEqual(original.identity);
  });

  it('changes with a number of the file', async () => {
    const original = await loadStore(at('stores/rim-60.json'));
    const folder = folderWith({
      'other.json': JSON.stringify({ ...exampleData('stores/rim-60.json'), mass_kg: 61 }),
    });
    expect((await loadStore(join(folder, 'other.json'))).identity).not.toEqual(original.identity);
  });

  it('changes with a number of a table that the file names, and not with its place', async () => {
    const original = await loadCar(at('cars/compact.json'));
    const folder = folderWith({});
    cpSync(at('cars'), folder, { recursive: true });
    expect((await loadCar(join(folder, 'compact.json'))).identity).toEqual(original.identity);
    const table = join(folder, 'compact-engine.csv');
    writeFileSync(table, readFileSync(table, 'utf8').replace('750,0,0.0979', '750,0,0.0980'));
    expect((await loadCar(join(folder, 'compact.json'))).identity).not.toEqual(original.identity);
  });

  it('does not change with the name of a table or a plug-in', async () => {
    const folder = folderWith({});
    const rename = (kind: string, from: string, to: string, file: object, name: string) => {
      cpSync(at(`${kind}/${from}`), join(folder, to));
      writeFileSync(join(folder, name), JSON.stringify(file));
      return join(folder, name);
    };
    const car = exampleData('cars/compact.json');
    expect(car.engine.fuel_use.file).toBe('compact-engine.csv');
    car.engine.fuel_use.file = 'map.csv';
    const store = exampleData('stores/large.json');
    expect(store.losses.file).toBe('large-losses.csv');
    store.losses.file = 'losses.csv';
    const strategy = exampleData('strategies/plugin.json');
    expect(strategy.plugin.module).toMatch(/last-speed\.mjs$/);
    strategy.plugin.module = './mine.mjs';
    const paths = {
      car: rename('cars', 'compact-engine.csv', 'map.csv', car, 'car.json'),
      store: rename('stores', 'large-losses.csv', 'losses.csv', store, 'store.json'),
      strategy: rename('strategies', 'last-speed.mjs', 'mine.mjs', strategy, 'strategy.json'),
    };
    const original = await Promise.all([
      loadCar(at('cars/compact.json')),
      loadStore(at('stores/large.json')),
      loadStrategy(at('strategies/plugin.json')),
    ]);
    const copies = await Promise.all([
      loadCar(paths.car),
      loadStore(paths.store),
      loadStrategy(paths.strategy),
    ]);
    expect(copies.map(({ identity }) => inputHash(identity))).toEqual(
      original.map(({ identity }) => inputHash(identity)),
    );
    strategy.plugin.parameters = { ...strategy.plugin.parameters, other: 1 };
    writeFileSync(paths.strategy, JSON.stringify(strategy));
    const changed = await loadStrategy(paths.strategy);
    expect(inputHash(changed.identity)).not.toBe(inputHash(original[2].identity));
  });

  it('of a cycle changes with a number, not with the way it is written', async () => {
    const folder = folderWith({
      'a.csv': 'time_s,speed_kmh\n0,0\n1,36\n2,0\n',
      'b.csv': '# the same\r\nspeed_kmh,time_s\r\n0.0,0\r\n36.00,1\r\n0,2\r\n',
      'c.csv': 'time_s,speed_kmh\n0,0\n1,36.001\n2,0\n',
    });
    const [a, b, c] = await Promise.all(
      ['a', 'b', 'c'].map(async (name) => {
        const { identity } = await loadCycle(join(folder, `${name}.csv`));
        return (identity as { sha256: string }).sha256;
      }),
    );
    expect(b).toBe(a);
    expect(c).not.toBe(a);
  });
});
