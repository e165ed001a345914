import { describe, expect, it } from 'vitest';
import { DefectError } from '../../src/config/problem.ts';
import { newView, newWant } from '../../src/strategy/contract.ts';

describe('a new view', () => {
  it('has every field set, so that nothing a strategy reads is undefined', () => {
    const { outcome, ...seen } = newView();
    expect(outcome).toBeTypeOf('function');
    expect(Object.keys(seen)).toHaveLength(20);
    for (const value of Object.values(seen)) expect(['number', 'boolean']).toContain(typeof value);
  });

  it('has no interval to ask about', () => {
    expect(() => newView().outcome(newWant())).toThrow(DefectError);
  });

  it('is one of its own each time', () => {
    const first = newView();
    first.speed = 9;
    expect(newView().speed).toBe(0);
  });

  it('shows a car that stands with its engine on and may not stop it yet', () => {
    expect(newView()).toMatchObject({ speed: 0, engineOn: true, stopAllowed: false, gear: 1 });
  });
});
