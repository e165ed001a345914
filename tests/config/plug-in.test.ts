import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCar, loadCycle, loadStore, loadStrategy } from '../../src/config/load.ts';
import { runCase } from '../../src/simulate/case.ts';
import { EXAMPLES, folderWith, problemsOf } from './drafts.ts';

/** Loads a strategy whose plug-in has this source. */
function loadSource(source: string, parameters: object = {}) {
  const folder = folderWith({
    'mine.mjs': source,
    'mine.json': JSON.stringify({ name: 'mine', plugin: { module: './mine.mjs', parameters } }),
  });
  return loadStrategy(join(folder, 'mine.json'));
}

/** Loads it and drives a slow city cycle with it. */
async function drive(source: string, parameters?: object) {
  const [car, store, strategy, cycle] = await Promise.all([
    loadCar(join(EXAMPLES, 'cars/estate.json')),
    loadStore(join(EXAMPLES, 'stores/rim-60.json')),
    loadSource(source, parameters),
    loadCycle('nycc'),
  ]);
  return runCase({
    car: car.value,
    store: store.value,
    makeStrategy: strategy.value.make,
    trace: cycle.value,
  });
}

describe('a plug-in that cannot be loaded', () => {
  it.each([
    [
      'does not parse',
      'export default () => {\n  const a = ;\n};\n',
      { code: 'plug-in-syntax', line: 2 },
    ],
    [
      'imports what is not there',
      'import { x } from "./nothing.mjs";\nexport default () => x;\n',
      { code: 'plug-in-load' },
    ],
    ['throws when it is imported', 'throw new Error("not today");\n', { code: 'plug-in-load' }],
    [
      'has no default export',
      'export const strategy = 1;\n',
      { code: 'plug-in-export', found: 'no default export' },
    ],
    [
      'exports no function',
      'export default { decide() {} };\n',
      { code: 'plug-in-export', found: 'a default export of type object' },
    ],
    [
      'does not accept its parameters',
      'export default () => {\n  throw new Error("mass_kg is missing");\n};\n',
      { code: 'plug-in-maker', found: 'Error: mass_kg is missing' },
    ],
    [
      'makes something without a decision',
      'export default () => ({ name: "x" });\n',
      { code: 'plug-in-strategy', found: 'object' },
    ],
    ['makes nothing', 'export default () => null;\n', { code: 'plug-in-strategy', found: 'null' }],
    [
      'throws when its decision is looked for',
      'export default () => ({ get decide() { throw new Error("no"); } });\n',
      { code: 'plug-in-strategy', found: 'Error: no', line: 1 },
    ],
    [
      'makes its strategy later',
      'export default async () => ({ decide() {} });\n',
      { code: 'plug-in-strategy', found: 'a promise' },
    ],
  ])('is refused, named, and without a stack: one that %s', async (_what, source, expected) => {
    const problems = await problemsOf(loadSource(source));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject(expected);
    expect(problems[0]?.file).toMatch(/mine\.mjs$/);
    expect(problems[0]?.found).not.toMatch(/\n| at /);
  });

  it('is refused when there is no such module', async () => {
    const folder = folderWith({
      's.json': '{ "name": "x", "plugin": { "module": "./gone.mjs" } }',
    });
    const problems = await problemsOf(loadStrategy(join(folder, 's.json')));
    expect(problems[0]).toMatchObject({ code: 'no-file' });
    expect(problems[0]?.file).toMatch(/gone\.mjs$/);
  });
});

describe('a plug-in that misbehaves in a run', () => {
  it('is stopped when it throws, with time and message', async () => {
    const problems = await problemsOf(
      drive(
        'export default () => ({ decide(see) { if (see.time >= 10) throw new TypeError("oops"); } });',
      ),
    );
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'plug-in-threw',
      path: 'decide at 10 s',
      found: 'TypeError: oops',
    });
    expect(problems[0]?.file).toMatch(/mine\.mjs$/);
  });

  it('is stopped when it throws what has no text', async () => {
    const problems = await problemsOf(
      drive('export default () => ({ decide() { throw Object.create(null); } });'),
    );
    expect(problems[0]).toMatchObject({ code: 'plug-in-threw', found: 'object' });
  });

  it('is stopped, and not called a defect of the program, when it spoils what it writes into', async () => {
    const frozen = await problemsOf(
      drive('export default () => ({ decide(see, want) { Object.freeze(want); } });'),
    );
    expect(frozen[0]).toMatchObject({ code: 'plug-in-threw', path: 'decide at 1 s' });
    const trapped = await problemsOf(
      drive(`export default () => ({
        decide(see, want) {
          Object.defineProperty(want, 'storePower', { get() { throw new Error('trap'); } });
        },
      });`),
    );
    expect(trapped[0]).toMatchObject({ code: 'plug-in-threw', found: 'Error: trap' });
  });

  it('is stopped when its decision is a promise', async () => {
    const problems = await problemsOf(
      drive('export default () => ({ async decide() { throw new Error("later"); } });'),
    );
    expect(problems[0]).toMatchObject({ code: 'plug-in-async', path: 'decide at 0 s' });
  });

  it.each([
    ['want.storepower = -1e9', '"storepower"', 'did you mean `want.storePower`?'],
    ['want.store = Number.NaN', '"store"', 'did you mean `want.storePower`?'],
  ])('is stopped when it writes a wish that there is not: %s', async (body, found, hint) => {
    const problems = await problemsOf(
      drive(`export default () => ({ decide(see, want) { if (see.time >= 5) ${body}; } });`),
    );
    expect(problems[0]).toMatchObject({
      code: 'plug-in-wish',
      path: 'decide at 5 s',
      found: `a wish ${found}`,
      expected: 'no other names in `want` than storePower, engineOn and clutched',
    });
    expect(problems[0]?.file).toMatch(/mine\.mjs$/);
    expect(problems[0]?.hint).toBe(hint);
  });

  it.each([
    ['{ storePower: 5 }', 'object'],
    ['5', 'number'],
    ['null', 'null'],
  ])('is stopped when it returns %s, which nobody reads', async (value, type) => {
    const problems = await problemsOf(
      drive(`export default () => ({ decide() { return ${value}; } });`),
    );
    expect(problems[0]).toMatchObject({
      code: 'plug-in-returned',
      path: 'decide at 0 s',
      found: `a returned value of type ${type}`,
    });
    expect(problems[0]?.expected).toContain('storePower, engineOn and clutched');
  });

  it('is stopped when it asks for no number', async () => {
    const problems = await problemsOf(
      drive('export default () => ({ decide(see, want) { want.storePower = Number.NaN; } });'),
    );
    expect(problems[0]).toMatchObject({
      code: 'strategy-answer',
      file: 'strategy mine (plug-in ./mine.mjs)',
      found: 'NaN',
    });
  });

  it('is stopped when it leaves the envelope, even if it tries to widen it', async () => {
    const problems = await problemsOf(
      drive(`export default () => ({
        decide(see, want) {
          see.recoverLimit = 1e9;
          if (see.wheelPower < 0) want.storePower = -1e6;
        },
      });`),
    );
    expect(problems[0]).toMatchObject({
      code: 'strategy-left-envelope',
      file: 'strategy mine (plug-in ./mine.mjs)',
      found: '-1000000 W',
    });
  });

  it('cannot change the parameters of the next run', async () => {
    const { value } = await loadSource(
      `export default (parameters) => {
        const first = parameters.list.length;
        parameters.list.push(1);
        return { decide(see, want) { want.storePower = first; } };
      };`,
      { list: [] },
    );
    const want = { storePower: -1, engineOn: true, clutched: true };
    const { newView } = await import('../../src/strategy/contract.ts');
    value.make().decide(newView(), want);
    value.make().decide(newView(), want);
    expect(want.storePower).toBe(0);
  });
});

describe('a plug-in that works', () => {
  it('gives what the same behaviours give from a file', async () => {
    const source = `export default () => ({
      decide(see, want) {
        if (see.speed === 0 && see.stopAllowed) {
          want.engineOn = false;
          want.clutched = false;
        }
      },
    });`;
    const result = await drive(source);
    const [car, store, strategy, cycle] = await Promise.all([
      loadCar(join(EXAMPLES, 'cars/estate.json')),
      loadStore(join(EXAMPLES, 'stores/rim-60.json')),
      loadStrategy(join(EXAMPLES, 'strategies/stop-start.json')),
      loadCycle('nycc'),
    ]);
    const expected = runCase({
      car: car.value,
      store: store.value,
      makeStrategy: strategy.value.make,
      trace: cycle.value,
    });
    expect(result.withStore.fuel).toBe(expected.withStore.fuel);
  });

  it('decides the identity with its source', async () => {
    const one = await loadSource('export default () => ({ decide() {} });');
    const other = await loadSource('export default () => ({ decide() {} }); // changed');
    const again = await loadSource('export default () => ({ decide() {} });');
    expect(one.identity).toEqual(again.identity);
    expect(one.identity).not.toEqual(other.identity);
  });

  it('may ask what a wish would lead to, and is stopped when it asks for what cannot be', async () => {
    const asking = (power: string) => `export default () => ({
      decide(see, want) {
        const alone = see.outcome(want);
        const fuel = alone.fuel;
        alone.fuel = Number.NaN;
        if (see.wheelPower <= 0) {
          want.storePower = -see.recoverLimit;
          return;
        }
        const helped = { storePower: ${power}, engineOn: true, clutched: true };
        if (see.outcome(helped).fuel < fuel) want.storePower = helped.storePower;
      },
    });`;
    const result = await drive(asking('see.assistLimit'));
    expect(result.withStore.run.ledger.assisted).toBeGreaterThan(0);
    const problems = await problemsOf(drive(asking('see.assistLimit + 5')));
    expect(problems[0]).toMatchObject({
      code: 'strategy-left-envelope',
      file: 'strategy mine (plug-in ./mine.mjs)',
    });
    const nonsense = await problemsOf(drive(asking('"much"')));
    expect(nonsense[0]).toMatchObject({ code: 'strategy-answer', found: 'much' });
  });
});
