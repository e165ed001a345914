import { describe, expect, it } from 'vitest';
import { LIMIT, LIMITS } from '../../src/physics/limit.ts';

describe('the limits', () => {
  it('each have one index and one name, and both agree', () => {
    const names = Object.entries(LIMIT).map(([key, index]) => [key, LIMITS[index]]);
    expect(names).toEqual([
      ['none', ''],
      ['engineDrag', 'engine_drag'],
      ['hardBraking', 'hard_braking'],
      ['brakeShare', 'brake_share'],
      ['adhesion', 'adhesion'],
      ['power', 'power'],
      ['torque', 'torque'],
      ['ratio', 'ratio'],
      ['full', 'full'],
      ['empty', 'empty'],
      ['spinLoss', 'spin_loss'],
      ['strategy', 'strategy'],
    ]);
    expect(names).toHaveLength(LIMITS.length);
  });
});
