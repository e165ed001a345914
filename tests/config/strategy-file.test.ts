import { describe, expect, it } from 'vitest';
import { strategyFrom } from '../../src/config/load.ts';
import { behavioursOf, leastCostOf } from '../../src/config/resolve-strategy.ts';
import { strategyFile } from '../../src/config/strategy-file.ts';
import { documentOf, problemsOf } from './drafts.ts';

function problemsWith(data: unknown) {
  return problemsOf(strategyFrom(documentOf(data)));
}

describe('a strategy file', () => {
  it('fills every default of a behaviour that is an empty object, in SI', () => {
    const file = strategyFile.parse({
      name: 'all',
      stop_start: {},
      keep_off: {},
      coast: {},
      recover: {},
      assist: {},
      reserve: {},
    });
    expect(behavioursOf(file)).toEqual({
      stopStart: { delay: 0 },
      keepOff: { stopAbove: 0.5, floor: 0.05, maxPower: 15_000 },
      coast: { floor: 0.05, maxSpeed: 140 * (1 / 3.6) },
      recover: { share: 1, minPower: 500 },
      assist: {
        launchBelow: 30 * (1 / 3.6),
        accelerationAbove: 0.3,
        share: 1,
        floor: 0.02,
        coverShortfall: true,
      },
      reserve: {
        target: 0.5,
        chargePower: 5000,
        demandBelow: 15_000,
        speedAbove: 30 * (1 / 3.6),
      },
    });
  });

  it('leaves out the behaviours that the file leaves out', () => {
    const file = strategyFile.parse({ name: 'one', recover: { share_pct: 40 } });
    expect(behavioursOf(file)).toEqual({ recover: { share: 0.4, minPower: 500 } });
  });

  it('makes a fresh strategy for each run, under the name of the file', async () => {
    const { value, name } = await strategyFrom(documentOf({ name: 'town', stop_start: {} }));
    expect(name).toBe('town');
    expect(value.name).toBe('town');
    expect(value.make().name).toBe('town');
    expect(value.make()).not.toBe(value.make());
  });

  it('refuses a file without any behaviour', async () => {
    const problems = await problemsWith({ name: 'nothing' });
    expect(problems).toHaveLength(1);
    expect(problems[0]?.expected).toContain('at least one of `stop_start`');
  });

  it('suggests the behaviour that was meant', async () => {
    const problems = await problemsWith({ name: 'x', recover: {}, 'stop-start': {} });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'unknown-key',
      path: 'stop-start',
      hint: 'did you mean `stop_start`?',
    });
  });

  it('takes a plug-in alone', async () => {
    const problems = await problemsWith({ name: 'x', coast: {}, plugin: { module: './x.mjs' } });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: 'conflicting-keys', path: 'coast' });
  });

  it('refuses to stop the engine below the level at which it would restart', async () => {
    const problems = await problemsWith({
      name: 'x',
      keep_off: { stop_above_pct: 10, floor_pct: 20 },
    });
    expect(problems[0]).toMatchObject({ code: 'inconsistent', path: 'keep_off.stop_above_pct' });
  });

  it('fills the defaults of the least cost, in SI', () => {
    const file = strategyFile.parse({ name: 'x', least_cost: {} });
    expect(leastCostOf(file.least_cost!)).toEqual({
      factor: 'search',
      startPrice: 0,
      startHorizon: 2,
      stopHorizon: 15,
    });
    const given = strategyFile.parse({
      name: 'x',
      least_cost: { factor: 2.6, feedback: { target_pct: 40 }, start_price_kJ: 5 },
    });
    expect(leastCostOf(given.least_cost!)).toMatchObject({
      factor: 2.6,
      feedback: { target: 0.4, gain: 1 },
      startPrice: 5000,
    });
  });

  it('leaves a search open for a factor that is to be searched, and only then', async () => {
    const made = async (least_cost: object) =>
      (await strategyFrom(documentOf({ name: 'x', least_cost }))).value;
    expect((await made({})).make.search).toBeDefined();
    expect((await made({ factor: 'search' })).make.search).toBeDefined();
    expect((await made({ factor: 2.5 })).make.search).toBeUndefined();
    expect((await made({})).behaviours).toBeUndefined();
    const all = await made({ feedback: { gain: 'search' }, start_price_kJ: 'search' });
    expect(all.make.search?.numbers).toHaveLength(3);
  });

  it('takes the least cost alone', async () => {
    const problems = await problemsWith({ name: 'x', stop_start: {}, least_cost: {}, coast: {} });
    expect(problems.map(({ code, path }) => [code, path])).toEqual([
      ['conflicting-keys', 'stop_start'],
      ['conflicting-keys', 'coast'],
    ]);
    expect(problems[0]).toMatchObject({
      expected: 'the least cost alone: it decides everything itself',
      hint: 'leave out `stop_start` or `least_cost`',
    });
    const both = await problemsWith({ name: 'x', least_cost: {}, plugin: { module: './x.mjs' } });
    expect(both).toHaveLength(1);
    expect(both[0]).toMatchObject({ code: 'conflicting-keys', path: 'least_cost' });
  });

  it.each([
    [{ factor: 'serach' }, 'unknown-value', 'or "search"'],
    [{ factor: '2.5' }, 'unknown-value', 'a number from 0 to 20'],
    [{ factor: 21 }, 'out-of-range', 'a number from 0 to 20'],
    [{ factor: true }, 'unknown-value', 'or "search"'],
    [{ stop_horizon_s: 0 }, 'out-of-range', 'from 0.1 to 600 s'],
    [{ feedback: { gain: -1 } }, 'out-of-range', 'from 0 to 50'],
    [{ feedback: { gain: 'serach' } }, 'unknown-value', 'or "search"'],
    [{ factor: 2, feedback: { gain: 'search' } }, 'inconsistent', '`factor` is one (2)'],
    [{ factor: 2, start_price_kJ: 'search' }, 'inconsistent', '`factor` is one (2)'],
    [{ faktor: 2 }, 'unknown-key', '`factor`'],
  ])('refuses %j of the least cost', async (least_cost, code, expected) => {
    const problems = await problemsWith({ name: 'x', least_cost });
    expect(problems).toHaveLength(1);
    expect(problems[0]?.code).toBe(code);
    expect(problems[0]?.expected).toContain(expected);
  });
});
