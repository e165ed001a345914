import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCase } from '../../src/config/load.ts';
import { jsonText } from '../../src/output/json.ts';
import { runCase } from '../../src/simulate/case.ts';
import { CaseInputs } from '../../src/study/inputs.ts';
import { loadStudy } from '../../src/study/load-study.ts';
import type { Plan } from '../../src/study/plan.ts';
import { summariseLoaded } from '../../src/summary/loaded-summary.ts';
import { EXAMPLES, exampleData, folderWith, problemsOf } from '../config/drafts.ts';
import { casesOf, ONE, planOf, writtenStudy } from './planned.ts';

/** The inputs of a plan as a worker has them: from a copy of what can be copied. */
function inputsOf(plan: Plan, samples?: number): CaseInputs {
  return new CaseInputs(structuredClone(plan.sources), samples);
}

const TABLE = readFileSync(join(EXAMPLES, 'stores/large-losses.csv'), 'utf8');
const STORE = JSON.stringify(exampleData('stores/large.json'));
const CYCLE = 'time_s,speed_kmh\n0,0\n10,30\n30,30\n40,0\n';
const PLUG_IN =
  'export default ({ share }) => ({ decide(see, want) { want.storePower = see.clutched * 0; } });\n';

describe('the inputs of cases', () => {
  it('give the very summary that files with the same values give', async () => {
    const cars = ['compact'];
    const vary = [{ pairs: 'pairs.csv' }, { path: 'strategy.recover.share_pct', list: [80] }];
    const plan = await planOf(
      { ...ONE, cars, stores: ['large.json'], cycles: ['c.csv', 'nycc'], vary },
      {
        'pairs.csv': 'car.mass_kg,store.rotor.energy_at_max_kJ\n1400,900\n1350,700.5\n',
        'large.json': STORE,
        'large-losses.csv': TABLE,
        'c.csv': CYCLE,
      },
    );
    expect(plan.count).toBe(4);
    const inputs = inputsOf(plan);
    for (const planned of casesOf(plan)) {
      const [mass, energy, share] = planned.values;
      const car = { ...exampleData('cars/compact.json'), mass_kg: mass };
      const store = exampleData('stores/large.json');
      store.rotor.energy_at_max_kJ = energy;
      const strategy = exampleData('strategies/coast.json');
      strategy.recover.share_pct = share;
      const folder = folderWith({
        'car.json': JSON.stringify(car),
        'compact-engine.csv': readFileSync(join(EXAMPLES, 'cars/compact-engine.csv'), 'utf8'),
        'store.json': JSON.stringify(store),
        'large-losses.csv': TABLE,
        'strategy.json': JSON.stringify(strategy),
        'c.csv': CYCLE,
      });
      const fromFiles = await loadCase({
        car: join(folder, 'car.json'),
        store: join(folder, 'store.json'),
        strategy: join(folder, 'strategy.json'),
        cycle: planned.names.cycle === 'c' ? join(folder, 'c.csv') : 'nycc',
      });
      const fromPlan = await inputs.load(planned);
      const summary = summariseLoaded(fromPlan, runCase(fromPlan.subject));
      expect(jsonText(summary)).toBe(
        jsonText(summariseLoaded(fromFiles, runCase(fromFiles.subject))),
      );
      expect(summary.case).toEqual({ ...planned.names, hash: planned.hash });
    }
  });

  it('load every case of every shipped study, which runs under the hash that was planned', async () => {
    for (const name of ['strategies', 'store-size', 'fleet', 'calibration', 'cases']) {
      const plan = await loadStudy(name);
      const inputs = inputsOf(plan);
      for (const planned of casesOf(plan)) {
        const loaded = await inputs.load(planned);
        if (planned.index % 20 !== 0 && planned.index !== plan.count - 1) continue;
        const { case: found, shortfall } = summariseLoaded(loaded, runCase(loaded.subject));
        expect(found).toEqual({ ...planned.names, hash: planned.hash });
        expect(shortfall.pct_of_tractive).toBeLessThan(0.5);
      }
    }
  });

  it('share the objects of parts that are the same', async () => {
    const plan = await planOf({
      ...ONE,
      cycles: ['udds', 'nycc'],
      vary: [{ path: 'store.power_limit_kW', list: [30, 40] }],
    });
    const inputs = inputsOf(plan);
    const [a, b, c] = await Promise.all([0, 1, 2].map((index) => inputs.load(plan.caseAt(index))));
    expect(b!.subject.store).toBe((await inputs.load(plan.caseAt(0))).subject.store);
    expect(c!.subject.store).not.toBe(b!.subject.store);
    expect((await inputs.load(plan.caseAt(2))).subject.car).toBe(
      (await inputs.load(plan.caseAt(1))).subject.car,
    );
    expect(a!.subject.store.powerLimit).toBe(30_000);
  });

  it('keep cycles only as long as there is room, and the last one besides', async () => {
    const cycles = ['udds', 'nycc', 'hwfet'];
    const plan = await planOf({
      ...ONE,
      cycles,
      vary: [{ path: 'car.mass_kg', list: [1500, 1600] }],
    });
    // nycc has 599 samples, udds 1370, hwfet 766: one of the long ones fits.
    const inputs = inputsOf(plan, 1500);
    const traces = [];
    for (const index of [0, 1, 2, 2, 3, 4, 5]) {
      traces.push((await inputs.load(plan.caseAt(index))).subject.trace);
    }
    const [udds, nycc, hwfet, again, uddsAgain, nyccAgain, hwfetAgain] = traces;
    expect(again).toBe(hwfet);
    expect(uddsAgain).toBe(udds);
    expect(nyccAgain).not.toBe(nycc);
    expect(hwfetAgain).not.toBe(hwfet);
    expect(hwfetAgain).toEqual(hwfet);
  });

  it('are refused where a table, a cycle or a plug-in has changed since the plan', async () => {
    const files = {
      'large.json': STORE,
      'large-losses.csv': TABLE,
      'c.csv': CYCLE,
      'plug.json': JSON.stringify({ name: 'plug', plugin: { module: './plug.mjs' } }),
      'plug.mjs': PLUG_IN,
    };
    const stores = ['large.json'];
    const strategies = ['plug.json'];
    const path = writtenStudy({ ...ONE, stores, strategies, cycles: ['c.csv'] }, files);
    const plan = await loadStudy(path);
    const folder = dirname(path);
    expect((await inputsOf(plan).load(plan.caseAt(0))).cycle.name).toBe('c');
    const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
    for (const [name, text, found] of [
      [
        'large-losses.csv',
        TABLE.replace(/0\.\d+\s*$/, '0.5\n'),
        'the store large with another table',
      ],
      ['c.csv', CYCLE.replace('30,30', '30,31'), 'the cycle c with other samples'],
      ['plug.mjs', `${PLUG_IN}// later`, 'the strategy plug with another table or plug-in'],
    ] as const) {
      expect(text).not.toBe(files[name]);
      write(name, text);
      const problems = await problemsOf(inputsOf(plan).load(plan.caseAt(0)));
      expect(problems).toMatchObject([{ code: 'changed', found: expect.stringContaining(found) }]);
      write(name, files[name]);
    }
    // The car, store and strategy files themselves were read once and are handed over as they were.
    write('large.json', 'no longer JSON');
    expect((await inputsOf(plan).load(plan.caseAt(0))).store.name).toBe('large');
  });
});
