import { describe, expect, it } from 'vitest';
import { newView } from '../../src/strategy/contract.ts';

describe('a new view', () => {
  it('has every field set, so that nothing a strategy reads is undefined', () => {
    const view = newView();
    expect(Object.keys(view)).toHaveLength(17);
    for (const value of Object.values(view)) expect(['number', 'boolean']).toContain(typeof value);
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
