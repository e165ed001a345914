import { describe, expect, it } from 'vitest';
import { ENGINE, Lanes } from '../../src/optimum/lanes.ts';
import { plainCar } from '../fixtures.ts';
import { expectWithin } from '../within.ts';

const { electrics, engine } = plainCar;
const dt = Float64Array.from({ length: 900 }, (_, k) => 1 + (k % 3) / 4);
const lanes = new Lanes(engine.restart, electrics, dt);
const last = lanes.debtCount - 1;
const growth = electrics.load / electrics.batteryEfficiency;

describe('the lanes of a road', () => {
  it('carry a debt that grows with the engine off from node to node', () => {
    for (let k = 0; k < dt.length; k++) {
      const moved = lanes.move(k, growth * dt[k]!);
      expect(lanes.more).toBe(0);
      const grown = lanes.debt(k, 5) + growth * dt[k]!;
      expectWithin(lanes.debt(k + 1, 5 + moved), grown, 1e-9);
    }
  });

  it('find a debt between its nodes as they move', () => {
    for (let k = 0; k <= dt.length; k += 7) {
      for (const debt of [0, 40, 800, 12_345, 0.4 * electrics.debtLimit]) {
        const index = lanes.findDebt(k, debt, 0, last);
        const below = lanes.debt(k, index);
        const found = below + lanes.more * (lanes.debt(k, index + 1) - below);
        expect(Math.abs(found - debt)).toBeLessThan(1e-6 * electrics.debtLimit);
        expect(lanes.more).toBeGreaterThanOrEqual(0);
        expect(lanes.more).toBeLessThan(1);
      }
    }
  });

  it('go on outside the nodes that count', () => {
    const debt = lanes.debt(3, 9);
    expect(lanes.findDebt(3, debt, 2, 6)).toBe(5);
    expectWithin(lanes.more, 4, 1e-6);
    expect(lanes.findDebt(3, lanes.debt(3, 2), 4, 6)).toBe(4);
    expectWithin(lanes.more, -2, 1e-6);
  });

  it('reach beyond the limit of the debt', () => {
    const long = new Lanes(engine.restart, electrics, new Float64Array(5000).fill(1));
    expect(long.debt(0, long.debtCount - 1)).toBeGreaterThanOrEqual(electrics.debtLimit);
    expect(long.engine(long.kind(ENGINE.idling, 0))).toBe(ENGINE.idling);
  });
});
