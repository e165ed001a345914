import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { builtInCycles } from '../../src/cycle/library.ts';
import { distance, maxSpeed } from '../../src/cycle/trace.ts';
import type { CycleList } from '../../src/output/cycle-list.ts';
import { cycleNamed } from '../fixtures.ts';
import { rowsIn } from './cycle-tables.ts';
import { spinledger } from './program.ts';

describe('cycle list', () => {
  const found: CycleList = JSON.parse(spinledger(0, ['cycle', 'list', '--format', 'json']).stdout);

  it('has every built-in cycle with its figures, in JSON', () => {
    expect(found.cycles.map(({ name }) => name)).toEqual(builtInCycles.map(({ name }) => name));
    for (const cycle of found.cycles) {
      const trace = cycleNamed(cycle.name);
      expect(cycle.distance_km).toBe(distance(trace) / 1000);
      expect(cycle.max_speed_kmh).toBe(maxSpeed(trace) / KMH);
      expect(cycle.standard.length).toBeGreaterThan(10);
    }
    expect(found.tool).toMatch(/^spinledger \d/);
  });

  it('has the same rows in CSV', () => {
    const rows = rowsIn(spinledger(0, ['cycle', 'list', '--format', 'csv']).stdout);
    const texts = found.cycles.map((cycle) =>
      Object.fromEntries(Object.entries(cycle).map(([key, value]) => [key, String(value)])),
    );
    expect(rows).toEqual(texts);
  });

  it('is a table within the width of a terminal, and nothing else', () => {
    const { stdout, stderr } = spinledger(0, ['cycle', 'list']);
    expect(stderr).toBe('');
    const lines = stdout.split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    // 23.27 km in 1800 s are 46.5 km/h.
    expect(stdout).toMatch(
      /^wltc-class3b +1800 +23\.27 +46\.5 +131\.3 {2}UN GTR No\. 15, Annex 1$/m,
    );
  });
});
