import { PERCENT } from '../config/units.ts';
import { LEDGER_LINES, type NodeName } from '../summary/ledger-lines.ts';
import { meanOf, perKm, type Weighted } from './figures.ts';

/**
 * A line of the ledger as a part of the fuel. Those of LEDGER_PARTS add up to the fuel that counts:
 *
 *     fuel node    burned + drag + starter = heat + rotation + shifts + … + engine to wheels
 *     wheel node   engine + assist + shortfall = road + recovery + drag + brakes
 *     store node   recovery − assist = its losses + rise in store
 *
 * Added up, what one node hands to the next cancels, and all fuel is accounted for by where it ends.
 */
export interface LedgerPart {
  /** As in the JSON of a run, with its node in front: `store_rotor_drag` */
  readonly name: string;
  /** For people */
  readonly words: string;
  /** Of results [kJ] */
  readonly column: string;
  /** −1 for what a node is given besides fuel: more of it is less fuel */
  readonly sign: 1 | -1;
}

/** Where fuel ends, or is saved. */
export const LEDGER_PARTS: readonly LedgerPart[] = [
  ...lines('fuel', [
    'engine_heat_kJ',
    'rotating_change_kJ',
    'shift_loss_kJ',
    'accessories_kJ',
    'launch_slip_kJ',
    'gearbox_loss_kJ',
    'final_drive_loss_kJ',
    'starter_work_kJ',
  ]),
  ...lines('wheel', [
    'aerodynamic_kJ',
    'rolling_kJ',
    'grade_kJ',
    'kinetic_change_kJ',
    'friction_brakes_kJ',
    'shortfall_kJ',
  ]),
  ...lines('store', ['transmission_loss_kJ', 'slip_loss_kJ', 'rotor_drag_kJ', 'stored_change_kJ']),
  charge('battery_debt_charge', 'battery debt'),
  charge('slope_correction', 'charge balance'),
];

/** What goes through the store; it adds nothing to the fuel by itself. */
export const STORE_FLOWS: readonly LedgerPart[] = lines('store', [
  'recovered_braking_kJ',
  'recovered_from_engine_kJ',
  'assisted_kJ',
]).map((part) => ({ ...part, sign: 1 }));

const FUEL = 'ledger_fuel_total_kJ';

/** Columns that changes of the ledger are worked out from. */
export const LEDGER_COLUMNS: readonly string[] = [
  'cycle_distance_km',
  FUEL,
  ...[...LEDGER_PARTS, ...STORE_FLOWS].map(({ column }) => column),
];

/** How a line has moved. */
export interface LineChange {
  readonly part: LedgerPart;
  /** After less before, what it adds to the fuel [kJ/km] */
  readonly perKm: number;
  /** The same, of the fuel energy before [%]; NaN where there was none */
  readonly ofFuel: number;
}

/** How the ledger has moved: `parts` add up to `fuel`. */
export interface LedgerChange {
  readonly fuel: Omit<LineChange, 'part'>;
  readonly parts: readonly LineChange[];
  readonly flows: readonly LineChange[];
}

/**
 * What moved in the ledger of one case, or of the distance that several share.
 * @param before cases, with their shares
 * @param after the same cases in the same order
 */
export function ledgerChange(
  before: readonly Weighted[],
  after: readonly Weighted[],
): LedgerChange {
  const fuelBefore = meanOf(before, perKm(FUEL));
  const figures = (difference: number) => ({
    perKm: difference,
    ofFuel: fuelBefore > 0 ? difference / fuelBefore / PERCENT : Number.NaN,
  });
  const moved = (column: string) => meanOf(after, perKm(column)) - meanOf(before, perKm(column));
  const changes = (parts: readonly LedgerPart[]) =>
    parts.map((part) => ({ part, ...figures(part.sign * moved(part.column)) }));
  return {
    fuel: figures(moved(FUEL)),
    parts: changes(LEDGER_PARTS),
    flows: changes(STORE_FLOWS),
  };
}

function lines<Name extends NodeName>(
  node: Name,
  keys: readonly (keyof (typeof LEDGER_LINES)[Name] & string)[],
): LedgerPart[] {
  return keys.map((key) => {
    const { side, words } = (LEDGER_LINES[node] as Record<string, { side: string; words: string }>)[
      key
    ]!;
    return {
      name: `${node}_${key.replace(/_kJ$/, '')}`,
      words: node === 'store' ? `store: ${words}` : words,
      column: `ledger_${node}_${key}`,
      sign: side === 'in' ? -1 : 1,
    };
  });
}

function charge(name: string, words: string): LedgerPart {
  return { name: `fuel_${name}`, words, column: `ledger_fuel_${name}_kJ`, sign: 1 };
}
