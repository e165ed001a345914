import { describe, expect, it } from 'vitest';
import { rechargePower } from '../../src/physics/electrics.ts';
import { plainCar } from '../fixtures.ts';

const electrics = { ...plainCar.electrics, rechargeLimit: 800 };

describe('paying back the battery', () => {
  it('takes the whole debt within the interval where the limit allows it', () => {
    // 300 J in 0.5 s
    expect(rechargePower(electrics, 300, 0.5)).toBe(600);
  });

  it('takes the limit where the debt is larger', () => {
    expect(rechargePower(electrics, 5000, 1)).toBe(800);
  });

  it('is nothing without a debt', () => {
    expect(rechargePower(electrics, 0, 1)).toBe(0);
  });
});
