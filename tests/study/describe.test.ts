import { describe, expect, it } from 'vitest';
import { describePlan } from '../../src/study/describe.ts';
import { mixedStudy, ONE, planOf } from './planned.ts';

describe('the description of a plan', () => {
  it('counts what is combined, excluded, listed and repeated', async () => {
    const plan = await mixedStudy();
    const described = describePlan(plan);
    expect(described).toMatchObject({
      study: 'one',
      cases: 13,
      combinations: 16,
      excluded: 4,
      listed: 2,
      repeated: 1,
      axes: [
        { path: 'store.power_limit_kW', form: 'range', count: 4, least: 10, greatest: 40, axis: 0 },
        { path: 'car.mass_kg', form: 'pairs', count: 2, least: 1500, greatest: 1800, axis: 1 },
        { path: 'strategy.coast.floor_pct', form: 'pairs', least: 5, greatest: 20, axis: 1 },
      ],
    });
    expect(described.first).toEqual([0, 1, 2].map((index) => plan.caseAt(index)));
    expect(described.last).toEqual([10, 11, 12].map((index) => plan.caseAt(index)));
  });

  it('shows all cases where they are few', async () => {
    const plan = await planOf(ONE);
    expect(describePlan(plan)).toMatchObject({ first: [plan.caseAt(0)], last: [] });
  });
});
