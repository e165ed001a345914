import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { BAR, RPM } from '../../src/config/units.ts';
import { fitEngine } from '../../src/fit/engine.ts';
import { residualMap } from '../../src/fit/engine-map.ts';
import { ENGINE_FORM, type EnginePoints, pointsOf } from '../../src/fit/engine-points.ts';
import { covers } from '../../src/fit/intervals.ts';
import { readMeasuredTable } from '../../src/fit/measured-table.ts';
import { meanPressurePower } from '../../src/physics/engine.ts';
import { FUELS } from '../../src/physics/fuel.ts';
import { seeded } from '../seeded.ts';
import { expectWithin } from '../within.ts';
import { normal } from './coast-runs.ts';

const DISPLACEMENT = 2e-3;
/** Efficiency, p0 [Pa] and p1 [Pa s/rad]. */
const TRUTH = [0.42, 1.4 * BAR, (0.25 * BAR) / (1000 * RPM)] as const;

function points(error: () => number, bend = 0): EnginePoints {
  const speed: number[] = [];
  const torque: number[] = [];
  const fuelPower: number[] = [];
  for (const rpm of [800, 1500, 2200, 3000, 4000]) {
    for (const load of [0, 40, 80, 120, 160, 220]) {
      const w = rpm * RPM;
      const friction = meanPressurePower(TRUTH[1] + TRUTH[2] * w, DISPLACEMENT, w);
      speed.push(w);
      torque.push(load);
      fuelPower.push(((w * load * (1 + bend * load) + friction) / TRUTH[0]) * (1 + error()));
    }
  }
  return {
    speed: Float64Array.from(speed),
    torque: Float64Array.from(torque),
    fuelPower: Float64Array.from(fuelPower),
    withoutValue: 0,
    withoutFuel: 0,
  };
}

const parts = (fit: ReturnType<typeof fitEngine>) => [fit.efficiency, fit.pressure0, fit.pressure1];

describe('the affine form of an engine', () => {
  it('comes back from points without noise', () => {
    const fit = fitEngine(
      points(() => 0),
      DISPLACEMENT,
    );
    for (const [k, { value }] of parts(fit).entries()) expectWithin(value, TRUTH[k]!, 1e-6);
    expect(fit.deviation).toBeLessThan(1e-8);
  });

  it('has intervals that cover the truth in about 95 of 100 repeats', () => {
    // Fewer than 88 of 100 true 95 % intervals cover with a probability of 0.15 % (binomial).
    const hits = [0, 0, 0];
    for (let seed = 0; seed < 100; seed++) {
      const random = seeded(300 + seed);
      const fit = fitEngine(
        points(() => 0.01 * normal(random)),
        DISPLACEMENT,
      );
      for (const [k, interval] of parts(fit).entries()) {
        if (covers(interval, TRUTH[k]!)) hits[k]!++;
        expect(interval.halfWidth).toBeLessThan(0.15 * TRUTH[k]!);
      }
    }
    for (const hit of hits) expect(hit, `${hits}`).toBeGreaterThanOrEqual(88);
    expect(hits.reduce((sum, hit) => sum + hit, 0) / 3).toBeLessThanOrEqual(99.5);
  });

  it('counts a per cent alike at any load', () => {
    const even = fitEngine(
      points(() => 0.1),
      DISPLACEMENT,
    );
    // A tenth more fuel at every point is a tenth less efficiency, with the same friction.
    expectWithin(even.efficiency.value, TRUTH[0] / 1.1, 1e-6);
    expectWithin(even.pressure0.value, TRUTH[1], 1e-5);
  });

  it('is seen to be poor where the fuel bends with the load', () => {
    const random = seeded(4);
    const straight = fitEngine(
      points(() => 0.01 * normal(random)),
      DISPLACEMENT,
    );
    const bent = fitEngine(
      points(() => 0.01 * normal(random), 1e-3),
      DISPLACEMENT,
    );
    expectWithin(straight.bentDeviation, straight.deviation, 0.1);
    expect(bent.deviation).toBeGreaterThan(2 * straight.deviation);
    expectWithin(bent.bentDeviation, straight.deviation, 0.35);
  });
});

describe('the map of residuals', () => {
  it('has a cell for each level where there are few', () => {
    const map = residualMap(
      Float64Array.of(100, 100, 200),
      Float64Array.of(10, 10, 20),
      Float64Array.of(0.01, 0.03, -0.05),
    );
    expect(map.speeds).toEqual([100, 200]);
    expect(map.torques).toEqual([10, 20]);
    expect(map.means).toEqual([
      [0.02, undefined],
      [undefined, -0.05],
    ]);
  });

  it('has bins of equal width where there are many, and loses no point', () => {
    const random = seeded(6);
    const column = () => Float64Array.from({ length: 500 }, () => 100 * random());
    const map = residualMap(column(), column(), new Float64Array(500).fill(0.04));
    expect(map.speeds).toHaveLength(7);
    expectWithin(map.speeds[3]!, 50, 0.02);
    for (const mean of map.means.flat()) expectWithin(mean!, 0.04, 1e-12);
  });
});

async function* piecesOf(text: string) {
  yield text;
}

async function read(text: string) {
  const table = await readMeasuredTable(piecesOf(text), 'points.csv', ENGINE_FORM);
  return pointsOf(table, FUELS.diesel, DISPLACEMENT);
}

async function problemOf(text: string) {
  const error = await read(text).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(InputError);
  return (error as InputError).problems[0]!;
}

/** Rows of speed, torque and fuel in g/s. */
function rows(scale = 1, turn = 1): string {
  const { speed, torque, fuelPower } = points(() => 0);
  return Array.from(speed, (w, i) =>
    [(turn * w) / RPM, torque[i], (scale * 1000 * fuelPower[i]!) / FUELS.diesel.heatingValue].join(
      ',',
    ),
  ).join('\n');
}

describe('engine points', () => {
  it('are read from mass flow, volume flow or fuel for each unit of work alike', async () => {
    const byMass = await read(`speed_rpm,torque_Nm,fuel_g_per_s\n${rows()}\n`);
    // 1 g/s is 3.6 kg/h and, at 0.835 kg/L, 4.3114 L/h.
    const byVolume = await read(`speed_rpm,torque_Nm,fuel_volume_L_per_h\n${rows(3.6 / 0.835)}\n`);
    for (const [i, power] of byMass.fuelPower.entries()) {
      expectWithin(byVolume.fuelPower[i]!, power, 1e-12);
    }
    const worked = rows()
      .split('\n')
      .map((row) => row.split(',').map(Number))
      .filter(([, torque]) => torque! > 0)
      .map(([n, m, f]) => [n, m, (3.6e6 * f!) / (n! * RPM * m!)].join(','));
    const byWork = await read(`speed_rpm,torque_Nm,bsfc_g_per_kWh\n${worked.join('\n')}\n`);
    expectWithin(byWork.fuelPower[0]!, byMass.fuelPower[1]!, 1e-9);
  });

  it('leave out what burns nothing or has no value, and count it', async () => {
    const found = await read(
      `speed_rpm,torque_Nm,fuel_g_per_s\n${rows()}\n2000,-30,0\n2000,,0.1\n`,
    );
    expect(found).toMatchObject({ withoutFuel: 1, withoutValue: 1 });
    expect(found.speed).toHaveLength(30);
  });

  it.each([
    [
      'too few',
      `speed_rpm,torque_Nm,fuel_g_per_s\n${rows().split('\n').slice(0, 6).join('\n')}`,
      'too-few-points',
    ],
    [
      'fuel in kg/h that is called g/s',
      `speed_rpm,torque_Nm,fuel_g_per_s\n${rows(3.6)}`,
      undefined,
    ],
    [
      'fuel in kg/s that is called g/s',
      `speed_rpm,torque_Nm,fuel_g_per_s\n${rows(1e-3)}`,
      'unlikely-fuel',
    ],
    [
      'speed in 1/min that is called rad/s',
      `speed_rad_per_s,torque_Nm,fuel_g_per_s\n${rows()}`,
      'unlikely-fuel',
    ],
    ['no fuel', `speed_rpm,torque_Nm\n${rows().replaceAll(/,[^,\n]*$/gm, '')}`, 'missing-column'],
    [
      'work of a torque that is none',
      `speed_rpm,torque_Nm,bsfc_g_per_kWh\n${rows()}`,
      'inconsistent',
    ],
    [
      'a torque beyond any engine',
      `speed_rpm,torque_Nm,fuel_g_per_s\n${rows()}\n2000,900,1`,
      'unlikely-torque',
    ],
  ])('are held against what engines can do: %s', async (_, text, code) => {
    if (code === undefined) await expect(read(text)).resolves.toBeDefined();
    else expect(await problemOf(text)).toMatchObject({ code, file: 'points.csv' });
  });
});
