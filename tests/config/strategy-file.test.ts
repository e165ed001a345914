import { describe, expect, it } from 'vitest';
import { strategyFrom } from '../../src/config/load.ts';
import { behavioursOf } from '../../src/config/resolve-strategy.ts';
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
});
