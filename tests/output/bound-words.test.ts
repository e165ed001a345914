import { describe, expect, it } from 'vitest';
import type { BoundedSummary, StretchSummary } from '../../src/optimum/bound-summary.ts';
import { lossSection } from '../../src/output/bound-sections.ts';
import { placeWords } from '../../src/output/bound-words.ts';
import { plainSummary } from './plain-case.ts';

const STRETCH: StretchSummary = {
  from_s: 437,
  to_s: 441,
  mean_speed_kmh: 50.4,
  strategy: 'engine_drives',
  strategy_store_power_kW: 0,
  bound: 'engine_drives_and_charges',
  bound_store_power_kW: -12,
  lost_g: 1.5,
};

describe('where a stretch lies', () => {
  it.each([
    [437, 441, '437–441 s, 50 km/h'],
    [437, 438, '437–438 s, 50 km/h'],
    [436.6, 437.4, '436.6–437.4 s, 50 km/h'],
    [437, 437.1, '437.0–437.1 s, 50 km/h'],
    [437.02, 437.03, '437.02–437.03 s, 50 km/h'],
    [437.001, 437.002, 'at 437.00 s, 50 km/h'],
  ])('is told of %d to %d s so that its ends differ', (from_s, to_s, words) => {
    expect(placeWords({ ...STRETCH, from_s, to_s })).toBe(words);
  });
});

describe('where fuel is lost', () => {
  const bounded = (missing: number, lost = 20) =>
    ({
      ...plainSummary,
      shortfall: { ...plainSummary.shortfall, energy_kJ: missing },
      bound: { losses: [STRETCH], lost_g: lost, gap_g: 25 },
    }) as unknown as BoundedSummary;

  it('is told with a word on missing work, where some is missing', () => {
    expect(lossSection(bounded(0))?.notes).toHaveLength(1);
    expect(lossSection(bounded(0))?.notes?.[0]).toContain(
      'this lap burns 25.0 g more than the bound',
    );
    expect(lossSection(bounded(3))?.notes?.[1]).toContain(
      'grams of stretches that lead to it are no fuel',
    );
  });

  it('says when the losses are far from the distance that they should add up to', () => {
    expect(lossSection(bounded(0, 1_620_891))?.notes?.[1]).toContain('Both should be the same');
  });
});
