import { lossShare } from '../physics/transmission.ts';
import { type DocumentProblems, short } from './document.ts';
import { checkOrder } from './list-order.ts';
import { lossModel } from './resolve-store.ts';
import type { StoreFile } from './store-file.ts';

/**
 * What the keys of a store file must be to one another.
 *
 * @param store the parts of the file that are sound in themselves
 * @param problems to which the problems are added
 */
export function checkStore(store: Partial<StoreFile>, problems: DocumentProblems): void {
  if (store.rotor !== undefined) checkRotor(store.rotor, problems);
  const { transmission, losses } = store;
  if (transmission === undefined) return;
  if (transmission.type === 'stepped') {
    checkOrder(['transmission', 'ratios'], transmission.ratios, 'rising', problems);
  } else if (
    transmission.type === 'variator' &&
    transmission.ratio_low >= transmission.ratio_high
  ) {
    problems.add(['transmission', 'ratio_high'], {
      code: 'inconsistent',
      found: String(transmission.ratio_high),
      expected: `a ratio above ratio_low, ${transmission.ratio_low}`,
    });
  }
  checkLosses(transmission, losses, problems);
}

function checkRotor(rotor: StoreFile['rotor'], problems: DocumentProblems): void {
  const { inertia_kg_m2: inertia, energy_at_max_kJ: energy } = rotor;
  if ((inertia === undefined) === (energy === undefined)) {
    problems.add(inertia === undefined ? ['rotor'] : ['rotor', 'energy_at_max_kJ'], {
      code: inertia === undefined ? 'missing-key' : 'conflicting-keys',
      expected: 'one of `inertia_kg_m2` and `energy_at_max_kJ`, not both',
      hint: 'each follows from the other and from max_speed_rpm: E = ½ J ω²',
    });
  }
  if (rotor.min_speed_rpm >= rotor.max_speed_rpm) {
    problems.add(['rotor', 'min_speed_rpm'], {
      code: 'inconsistent',
      found: String(rotor.min_speed_rpm),
      expected: `a speed below max_speed_rpm, ${rotor.max_speed_rpm}`,
    });
  }
}

function checkLosses(
  transmission: StoreFile['transmission'],
  losses: StoreFile['losses'],
  problems: DocumentProblems,
): void {
  if (transmission.type === 'ideal') {
    if (losses === undefined) return;
    problems.add(['losses'], {
      code: 'conflicting-keys',
      expected: 'no `losses` beside an ideal transmission, which has none',
      hint: 'leave `losses` out, or choose "type": "variator"',
    });
    return;
  }
  if (losses === undefined) {
    problems.add(['losses'], {
      code: 'missing-key',
      found: 'no such key',
      expected: `the losses of a ${transmission.type} transmission`,
      hint: 'as in "losses": { "form": "efficiency", "efficiency": 0.9 }',
    });
    return;
  }
  if (losses.form !== 'model') return;
  const resolved = lossModel(losses);
  const ratios =
    transmission.type === 'stepped'
      ? transmission.ratios
      : [transmission.ratio_low, transmission.ratio_high];
  for (const ratio of ratios) {
    const share = lossShare(resolved, ratio);
    if (share < 1) continue;
    problems.add(['losses', 'growth_pct'], {
      code: 'inconsistent',
      found: String(losses.growth_pct),
      expected: 'a loss below 100 % over the whole range of ratios',
      hint: `at ratio ${ratio} it would be ${short(100 * share)} %`,
    });
    return;
  }
}
