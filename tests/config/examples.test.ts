import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCar, loadCase, loadCycle, loadStore, loadStrategy } from '../../src/config/load.ts';
import { HOUR, LITRE } from '../../src/config/units.ts';
import { altitudeChange, distance, duration, maxSpeed } from '../../src/cycle/trace.ts';
import { frictionPower, fuelPower } from '../../src/physics/engine.ts';
import { litres } from '../../src/physics/fuel.ts';
import { rotorEnergy, turnByTorque } from '../../src/physics/rotor.ts';
import { runCase } from '../../src/simulate/case.ts';
import { loadStudy } from '../../src/study/load-study.ts';
import { EXAMPLES } from './drafts.ts';

const TOWN = join(EXAMPLES, 'cycles/town-hills.csv');

function names(folder: string): string[] {
  return readdirSync(join(EXAMPLES, folder))
    .filter((file) => file.endsWith('.json'))
    .map((file) => basename(file, '.json'));
}

function load(car: string, store: string, strategy: string, cycle: string) {
  return loadCase({
    car: join(EXAMPLES, 'cars', `${car}.json`),
    store: join(EXAMPLES, 'stores', `${store}.json`),
    strategy: join(EXAMPLES, 'strategies', `${strategy}.json`),
    cycle,
  });
}

/** Savings against the car as it is [%], and the runs they come from. */
async function outcome(car: string, store: string, strategy: string, cycle: string) {
  const result = runCase((await load(car, store, strategy, cycle)).subject);
  const { baseline, stopStart, withStore } = result;
  return {
    result,
    stopStart: 100 * (1 - stopStart.fuel / baseline.fuel),
    withStore: 100 * (1 - withStore.fuel / baseline.fuel),
  };
}

describe('every file of the example set', () => {
  it.each(names('cars'))('loads: the car %s', async (name) => {
    expect((await loadCar(join(EXAMPLES, 'cars', `${name}.json`))).name).toBe(name);
  });

  it.each(names('stores'))('loads: the store %s', async (name) => {
    expect((await loadStore(join(EXAMPLES, 'stores', `${name}.json`))).name).toBe(name);
  });

  it.each(names('strategies'))('loads: the strategy %s', async (name) => {
    const loaded = await loadStrategy(join(EXAMPLES, 'strategies', `${name}.json`));
    expect(loaded.value.make().decide).toBeTypeOf('function');
  });

  it.each(['cars', 'stores', 'strategies'])(
    'names its schema and is said to be invented: %s',
    (folder) => {
      const schema = folder === 'strategies' ? 'strategy' : folder.slice(0, -1);
      expect(names(folder).length).toBeGreaterThan(4);
      for (const name of names(folder)) {
        const data = JSON.parse(readFileSync(join(EXAMPLES, folder, `${name}.json`), 'utf8'));
        expect(data.$schema).toBe(`../schema/${schema}.json`);
        expect(data.notes).toMatch(folder === 'strategies' ? /./ : /^Invented/);
      }
    },
  );

  it.each(names('studies'))(
    'is planned, names its schema and is said to be invented: the study %s',
    async (name) => {
      const path = join(EXAMPLES, 'studies', `${name}.json`);
      const plan = await loadStudy(path);
      expect(plan.name).toBe(name);
      expect(plan.count).toBeGreaterThan(10);
      expect(plan.count).toBeLessThan(100);
      expect(plan.notices).toEqual([]);
      const data = JSON.parse(readFileSync(path, 'utf8'));
      expect(data.$schema).toBe('../schema/study.json');
      expect(data.notes).toMatch(/^Invented/);
    },
  );

  it('is listed in the README', () => {
    const text = readFileSync(join(EXAMPLES, 'README.md'), 'utf8');
    for (const folder of ['cars', 'stores', 'strategies', 'cycles', 'studies']) {
      for (const file of readdirSync(join(EXAMPLES, folder))) {
        expect(text).toContain(`${folder}/${file}`);
      }
    }
  });
});

describe('the town with its hills', () => {
  it('ends where it began, at rest, and can be driven', async () => {
    const { value: trace } = await loadCycle(TOWN);
    expect(Math.abs(altitudeChange(trace))).toBeLessThan(0.01);
    expect(trace.speed[0]).toBe(0);
    expect(trace.speed.at(-1)).toBe(0);
    expect(duration(trace)).toBeGreaterThan(14 * 60);
    expect(duration(trace)).toBeLessThan(18 * 60);
    expect(distance(trace)).toBeGreaterThan(7000);
    expect(maxSpeed(trace) * 3.6).toBeLessThan(80);
    let climbed = 0;
    for (let k = 0; k < trace.climb.length; k++) {
      const acceleration = Math.abs(trace.speed[k + 1]! - trace.speed[k]!);
      expect(acceleration).toBeLessThan(2);
      // A third of a metre is where the rounding of the altitude stops to matter.
      if (trace.level[k]! > 0.3) {
        expect(Math.abs(trace.climb[k]! / trace.level[k]!)).toBeLessThan(0.09);
      }
      climbed += Math.max(0, trace.climb[k]!);
    }
    expect(climbed).toBeGreaterThan(50);
  });
});

describe('the example cars', () => {
  // No-load idle of 0.30 to 0.32 L/h for each litre of displacement was read in US DOE Fact of the
  // Week 861 (2015, data of Argonne National Laboratory); 0.25 to 0.6 with accessories and an
  // automatic gearbox in gear is common practice, without a source.
  it.each(names('cars'))('idle at a plausible rate: %s', async (name) => {
    const { engine, electrics, gearbox } = (await loadCar(join(EXAMPLES, 'cars', `${name}.json`)))
      .value;
    const load =
      electrics.load / electrics.alternatorEfficiency +
      gearbox.launch.creepTorque * engine.idleSpeed;
    const friction = frictionPower(engine, engine.idleSpeed);
    const power = fuelPower(engine, engine.idleSpeed, load, friction, friction);
    const rate = (litres(engine.fuel, power) * HOUR) / (engine.displacement / LITRE);
    expect(rate).toBeGreaterThan(0.25);
    expect(rate).toBeLessThan(0.6);
  });

  it.each([
    ['estate', 'wltc-class3b'],
    ['estate', TOWN],
    ['compact', 'wltc-class3b'],
    ['compact', 'udds'],
    ['van', 'wltc-class3b'],
    ['van', TOWN],
    ['bus', 'nycc'],
    ['bus', TOWN],
    ['saloon', 'wltc-class3b'],
    ['saloon', TOWN],
  ])(
    '%s follows %s without shortfall, within its engine speeds and its table',
    async (car, cycle) => {
      const { result } = await outcome(car, 'rim-60', 'stop-start', cycle);
      const { ledger } = result.baseline.run;
      expect(ledger.shortfall).toBe(0);
      expect(ledger.overspeedTime).toBe(0);
      expect(ledger.outsideMapTime).toBe(0);
    },
  );
});

describe('the example stores', () => {
  it.each(['rim-45', 'rim-60', 'large', 'stepped'])(
    'lose half of their energy in minutes to tens of minutes: %s',
    async (name) => {
      const { rotor } = (await loadStore(join(EXAMPLES, 'stores', `${name}.json`))).value;
      const motion = { endSpeed: rotor.maxSpeed, meanSpeed: 0, dragLoss: 0 };
      const half = rotorEnergy(rotor, rotor.maxSpeed) / 2;
      let seconds = 0;
      while (rotorEnergy(rotor, motion.endSpeed) > half && seconds < 7200) {
        turnByTorque(rotor, motion.endSpeed, 0, 1, motion);
        seconds++;
      }
      // From memory, not verified: minutes to tens of minutes for mechanically driven units.
      expect(seconds).toBeGreaterThan(3 * 60);
      expect(seconds).toBeLessThan(60 * 60);
    },
  );

  it.each([
    ['estate', 'rim-45'],
    ['estate', 'stepped'],
    ['van', 'rim-60'],
    ['bus', 'large'],
  ])('save less than is lost at the brakes: %s with %s', async (car, store) => {
    const { result, withStore } = await outcome(car, store, 'coast', TOWN);
    const { ledger } = result.withStore.run;
    expect(withStore).toBeGreaterThan(0);
    expect(ledger.recoveredBraking).toBeLessThan(ledger.braking);
    expect(ledger.assisted).toBeLessThan(ledger.recoveredBraking + ledger.recoveredFromEngine);
  });

  it('order themselves: stepped below variator below ideal', async () => {
    const saving = async (store: string) =>
      (await outcome('estate', store, 'coast', TOWN)).withStore;
    const stepped = await saving('stepped');
    const variator = await saving('rim-60');
    const ideal = await saving('ideal');
    expect(stepped).toBeLessThan(variator);
    expect(variator).toBeLessThan(ideal);
  });
});

describe('the example strategies', () => {
  it.each(names('strategies'))(
    'run, keep to the envelope and close the ledger: %s',
    async (name) => {
      const { result } = await outcome('estate', 'rim-60', name, TOWN);
      expect(result.withStore.run.closure).toBeLessThan(1e-9);
      expect(Math.abs(result.withStore.balance.residual)).toBeLessThan(1e-3);
    },
  );
});
