import { describe, expect, it } from 'vitest';
import { plainPaint } from '../../src/output/paint.ts';
import { planText } from '../../src/output/study-plan.ts';
import { describePlan } from '../../src/study/describe.ts';
import { loadStudy } from '../../src/study/load-study.ts';
import type { Plan } from '../../src/study/plan.ts';
import { mixedStudy, ONE, planOf } from '../study/planned.ts';

function textOf(plan: Plan): string {
  return planText(describePlan(plan), plainPaint);
}

describe('the text of a plan', () => {
  it('says what is combined, excluded, listed and repeated, and shows cases from both ends', async () => {
    const plan = await mixedStudy();
    const [a, b, c] = [0, 1, 2].map((index) => plan.hashAt(index));
    const [x, y, z] = [10, 11, 12].map((index) => plan.hashAt(index));
    const set = (power: number, mass: number, floor: number) =>
      `
    store.power_limit_kW = ${power}
    car.mass_kg = ${mass}
    strategy.coast.floor_pct = ${floor}`;
    expect(textOf(plan)).toBe(`one: 13 cases
  1 car: estate
  1 store: rim-60
  1 strategy: coast
  2 cycles: udds, nycc
  store.power_limit_kW: 4 values, 10 to 40, in equal steps
  car.mass_kg: 2 values, 1500 to 1800, from a table
  strategy.coast.floor_pct: 2 values, 5 to 20, from a table, together with it
  16 combinations
  4 of them excluded:
    4 by {"cycle":"nycc","store.power_limit_kW":{"above":25}}
  2 cases listed by themselves
  1 the same as another, run once
  with a log of every case

First and last cases
  1  ${a}  estate, rim-60, coast, udds${set(10, 1800, 5)}
  2  ${b}  estate, rim-60, coast, nycc${set(10, 1800, 5)}
  3  ${c}  estate, rim-60, coast, udds${set(10, 1500, 20)}
  …
  11  ${x}  estate, rim-60, coast, udds${set(40, 1800, 5)}
  12  ${y}  estate, rim-60, coast, udds${set(40, 1500, 20)}
  13  ${z}  estate, rim-60, coast, udds
`);
  });

  it('shows all cases where they are few', async () => {
    const text = textOf(await planOf(ONE));
    expect(text).toMatch(/^one: 1 case\n/);
    expect(text).toMatch(/\nCases\n {2}1 {2}[0-9a-f]{16} {2}estate, rim-60, coast, udds\n$/);
  });

  it('breaks no line of a shipped study above its cases', async () => {
    for (const name of ['strategies', 'store-size', 'fleet', 'calibration', 'cases']) {
      const [head] = textOf(await loadStudy(name)).split('\n\n');
      for (const line of head!.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    }
  });

  it('gives the shares of cycles in per cent', async () => {
    expect(textOf(await loadStudy('fleet'))).toContain(
      '  means by distance: 45 % udds, 25 % hwfet, 30 % town-hills\n',
    );
  });
});
