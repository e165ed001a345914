import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { KILO } from '../../src/config/units.ts';
import { traceFromSamples } from '../../src/cycle/samples.ts';
import { cycleCsv } from '../../src/output/cycle-csv.ts';
import { type CycleSheet, cycleSheet } from '../../src/output/cycle-sheet.ts';
import { cycleMarkdown, cycleTable } from '../../src/output/cycle-text.ts';
import { jsonText } from '../../src/output/json.ts';
import { plainPaint } from '../../src/output/paint.ts';
import { cycleNamed, plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

/** Up to 10 m/s in 10 s, held for 10 s, down in 10 s, at rest for 10 s: 50 + 100 + 50 m. */
const trapezoid = traceFromSamples({
  name: 'trapezoid',
  time: Float64Array.of(0, 10, 20, 30, 40),
  speed: Float64Array.of(0, 10, 10, 0, 0),
});
/** Sums of some ten terms in doubles. */
const ROUNDING = 1e-12;

describe('the figures of a cycle', () => {
  const sheet = cycleSheet(trapezoid);

  it('are those worked out by hand', () => {
    expect(sheet.cycle).toMatchObject({ name: 'trapezoid', duration_s: 40, distance_km: 0.2 });
    expectWithin(sheet.cycle.mean_speed_kmh, 18, ROUNDING);
    expectWithin(sheet.cycle.mean_driving_speed_kmh, 24, ROUNDING);
    expectWithin(sheet.cycle.max_speed_kmh, 36, ROUNDING);
    expect(sheet.cycle.max_acceleration_m_per_s2).toBe(1);
    expect(sheet.cycle.max_deceleration_m_per_s2).toBe(1);
    // At rest from 30 to 40 s; of the 40 seconds those that end at 30 … 40 s end below 1 km/h.
    expect(sheet.stops).toEqual({ count: 1, at_rest_pct: 25, below_1_kmh_pct: 27.5 });
    // ½ · 10² = 50 J/kg over 0.2 km, 50/200 m/s².
    expectWithin(sheet.kinetic.gained_J_per_kg_km, 250, ROUNDING);
    expectWithin(sheet.kinetic.shed_J_per_kg_km, 250, ROUNDING);
    expectWithin(sheet.kinetic.characteristic_acceleration_m_per_s2, 0.25, ROUNDING);
    expectWithin(sheet.relative_positive_acceleration.exact_m_per_s2, 0.25, ROUNDING);
    // ∫ v³ dt = 2 · 10⁴/4 + 10 · 10³ = 15 000, over 200 m: 75 m²/s²; 0.25/75 per metre.
    expectWithin(sheet.kinetic.aerodynamic_speed_kmh, 3.6 * Math.sqrt(75), ROUNDING);
    expectWithin(sheet.kinetic.intensity_per_km, (1000 * 0.25) / 75, ROUNDING);
  });

  it('sort the seconds into the bins of the real-driving rules, with a reason where none is judged', () => {
    const { urban, rural, motorway } = sheet.real_driving;
    expect(urban.samples).toBe(41);
    expect(urban.verdict).toBe('too-few-samples');
    for (const empty of [rural, motorway]) {
      expect(empty).toEqual({
        samples: 0,
        accelerating_samples: 0,
        distance_km: 0,
        mean_speed_kmh: null,
        speed_acceleration_95_m2_per_s3: null,
        speed_acceleration_limit_m2_per_s3: null,
        positive_acceleration_m_per_s2: null,
        positive_acceleration_limit_m_per_s2: null,
        verdict: 'too-few-samples',
      });
    }
    expect(cycleSheet(cycleNamed('udds')).real_driving.urban.verdict).toBe('within');
  });

  it('state climb by km and by 100 km, and the span of the heights', () => {
    const hills = traceFromSamples({
      name: 'x',
      time: Float64Array.of(0, 100, 200, 300),
      speed: Float64Array.of(10, 10, 10, 10),
      road: { kind: 'altitude', altitude: Float64Array.of(100, 130, 90, 95) },
    });
    const { climbing } = cycleSheet(hills);
    // 35 m up and 40 m down in 3 km.
    expectWithin(climbing.up_m_per_km, 35 / 3, ROUNDING);
    expectWithin(climbing.up_m_per_100km, 3500 / 3, ROUNDING);
    expectWithin(climbing.down_m_per_km, 40 / 3, ROUNDING);
    expect(climbing.altitude_change_m).toBe(-5);
    expect(climbing.altitude_range_m).toBe(40);
  });

  it('speak of no car unless one is given', () => {
    expect(sheet.car).toBeNull();
    expect(sheet.ideal_stores).toEqual([]);
  });
});

describe('what a cycle asks of a car', () => {
  const inertia = plainCar.mass + plainCar.rotatingMass;
  const frictionless = { ...plainCar, roadLoad: { rolling: 0, linear: 0, square: 0, wind: 0 } };

  it('is its kinetic energy where nothing else resists', () => {
    const { car } = cycleSheet(trapezoid, frictionless);
    // ½ · 1750 kg · 10² m²/s² = 87.5 kJ, on 0.2 km.
    expect(car?.name).toBe('plain car');
    expectWithin(car!.traction_kJ, (50 * inertia) / KILO, ROUNDING);
    expectWithin(car!.braking_kJ, (50 * inertia) / KILO, ROUNDING);
    expectWithin(car!.braking_kJ_per_km, (250 * inertia) / KILO, ROUNDING);
    expectWithin(car!.braking_share_of_traction_pct!, 100, ROUNDING);
  });

  it('says what a store of one size takes, and why not more', () => {
    const size = { energy: 50 * KILO, power: 100 * KILO };
    const [store] = cycleSheet(trapezoid, frictionless, [size]).ideal_stores;
    // Braking is one interval of 87.5 kJ at 8.75 kW: within the power, beyond the energy.
    expect(store).toMatchObject({ energy_kJ: 50, power_kW: 100, taken_kJ: 50, left_kJ: 50 });
    expectWithin(store!.taken_share_of_braking_pct!, 100 / 1.75, ROUNDING);
    expectWithin(store!.refused_full_kJ, 37.5, ROUNDING);
    expect(store!.refused_power_kJ).toBe(0);
    const weak = { energy: 500 * KILO, power: 5 * KILO };
    const [other] = cycleSheet(trapezoid, frictionless, [weak]).ideal_stores;
    expectWithin(other!.taken_kJ, 50, ROUNDING);
    expectWithin(other!.refused_power_kJ, 37.5, ROUNDING);
  });

  it('is answered for a dozen sizes unless one is named, and a larger store takes no less', () => {
    const { ideal_stores: stores } = cycleSheet(cycleNamed('us06'), plainCar);
    expect(stores).toHaveLength(12);
    for (const a of stores) {
      for (const b of stores) {
        if (b.energy_kJ < a.energy_kJ || b.power_kW < a.power_kW) continue;
        expect(b.taken_kJ).toBeGreaterThanOrEqual(a.taken_kJ);
      }
    }
  });
});

/** Numbers of a document with their paths. */
function numbers(value: unknown, path: string): (readonly [string, number])[] {
  if (typeof value === 'number') return [[path, value]];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => numbers(inner, `${path}.${key}`));
}

describe('the forms of the figures', () => {
  const trace = cycleNamed('us06');
  const sheet: CycleSheet = cycleSheet(trace, plainCar);

  it('have keys that end in their unit, but for counts', () => {
    const unit =
      /_(s|km|kmh|pct|m|kg|kJ|kW|m_per_s2|m2_per_s3|m_per_km|m_per_100km|per_km|J_per_kg_km|kJ_per_km)$/;
    const bare = numbers(sheet, '').filter(([path]) => !unit.test(path));
    const keys = new Set(bare.map(([path]) => path.split('.').at(-1)));
    expect([...keys].toSorted()).toEqual([
      'accelerating_samples',
      'count',
      'samples',
      'schema_version',
    ]);
  });

  it('are JSON that reads back the same', () => {
    expect(JSON.parse(jsonText(sheet))).toEqual(sheet);
  });

  it('are CSV of a header and one row, an ideal store by its size', () => {
    const rows = parse(cycleCsv(sheet), { columns: true });
    const store = sheet.ideal_stores.find((size) => size.energy_kJ === 400 && size.power_kW === 60);
    expect(rows).toMatchObject([
      {
        cycle_distance_km: String(sheet.cycle.distance_km),
        real_driving_motorway_verdict: sheet.real_driving.motorway.verdict,
        ideal_store_400kJ_60kW_taken_kJ: String(store?.taken_kJ),
        car_braking_kJ: String(sheet.car?.braking_kJ),
      },
    ]);
  });

  it('are a table within the width of a terminal, with both shares of standstill said', () => {
    const text = cycleTable(sheet, trace, plainPaint);
    const lines = text.split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(lines.filter((line) => line !== line.trimEnd())).toEqual([]);
    expect(text).toMatch(/time at rest, % of the duration +\d/);
    expect(text).toMatch(/seconds ending below 1 km\/h, % of them +\d/);
    expect(text).toMatch(/400 kJ +\d+\.\d +\d+\.\d +\d+\.\d\n/);
    expect(text).toContain('from memory');
  });

  it('are Markdown with the same figures, and no name that turns into markup', () => {
    const text = cycleMarkdown({ ...sheet, cycle: { ...sheet.cycle, name: '2*us06' } }, trace);
    expect(text).toMatch(/^## 2\\\*us06\n/);
    expect(text).toMatch(/\| top speed, km\/h \| 129\.\d\d \|/);
    expect(text).toContain('| 400 kJ | ');
  });

  it('name one size of store in words where one was asked for', () => {
    const one = cycleSheet(trace, plainCar, [{ energy: 300 * KILO, power: 45 * KILO }]);
    const text = cycleTable(one, trace, plainPaint);
    expect(text).toContain('An ideal store of 300 kJ and 45 kW');
    expect(text).toMatch(/missed beyond its power, kJ +\d/);
  });

  it('let no name steer the terminal', () => {
    const name = `x${String.fromCharCode(27)}[2J`;
    expect(cycleTable({ ...sheet, cycle: { ...sheet.cycle, name } }, trace, plainPaint)).toContain(
      'x\\u001b[2J',
    );
  });
});
