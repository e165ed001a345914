import type { Ledger } from '../simulate/ledger.ts';

/** One line of a node of the ledger. */
export interface LedgerLine {
  /** What comes in and what goes out of a node add up to the same. */
  readonly side: 'in' | 'out';
  /** For people */
  readonly words: string;
  /** [J] */
  readonly of: (ledger: Ledger) => number;
}

/**
 * The ledger as results and tables show it: one entry a line, keyed by its name in results. A line
 * is positive in the direction of its side; a negative one (a car that ends lower than it began)
 * flows the other way.
 */
export const LEDGER_LINES = {
  fuel: {
    burned_kJ: { side: 'in', words: 'fuel burned', of: (sum) => sum.fuel },
    engine_drag_kJ: { side: 'in', words: 'drag from wheels', of: (sum) => sum.engineDrag },
    starter_work_kJ: { side: 'in', words: 'starter', of: (sum) => sum.starterWork },
    engine_heat_kJ: { side: 'out', words: 'engine heat', of: (sum) => sum.engineHeat },
    rotating_change_kJ: { side: 'out', words: 'rise of rotation', of: rotatingChange },
    shift_loss_kJ: { side: 'out', words: 'shifts and stops', of: (sum) => sum.shiftLoss },
    accessories_kJ: { side: 'out', words: 'accessories', of: (sum) => sum.accessories },
    launch_slip_kJ: { side: 'out', words: 'launch slip', of: (sum) => sum.launchSlip },
    gearbox_loss_kJ: { side: 'out', words: 'gearbox', of: (sum) => sum.gearboxLoss },
    final_drive_loss_kJ: { side: 'out', words: 'final drive', of: (sum) => sum.finalDriveLoss },
    engine_work_at_wheels_kJ: {
      side: 'out',
      words: 'engine to wheels',
      of: (sum) => sum.engineWheel,
    },
  },
  wheel: {
    engine_work_kJ: { side: 'in', words: 'engine', of: (sum) => sum.engineWheel },
    store_assist_kJ: { side: 'in', words: 'store', of: (sum) => sum.assisted },
    shortfall_kJ: { side: 'in', words: 'shortfall (missing)', of: (sum) => sum.shortfall },
    aerodynamic_kJ: { side: 'out', words: 'aerodynamic', of: (sum) => sum.aerodynamic },
    rolling_kJ: { side: 'out', words: 'rolling', of: (sum) => sum.rolling },
    grade_kJ: { side: 'out', words: 'grade', of: (sum) => sum.grade },
    kinetic_change_kJ: { side: 'out', words: 'kinetic change', of: (sum) => sum.kinetic },
    store_recovery_kJ: { side: 'out', words: 'to the store', of: recovered },
    engine_drag_kJ: { side: 'out', words: 'to engine drag', of: (sum) => sum.engineDrag },
    friction_brakes_kJ: { side: 'out', words: 'friction brakes', of: (sum) => sum.brakes },
  },
  store: {
    recovered_braking_kJ: {
      side: 'in',
      words: 'from braking',
      of: (sum) => sum.recoveredBraking,
    },
    recovered_from_engine_kJ: {
      side: 'in',
      words: 'from the engine',
      of: (sum) => sum.recoveredFromEngine,
    },
    assisted_kJ: { side: 'out', words: 'to the wheels', of: (sum) => sum.assisted },
    transmission_loss_kJ: {
      side: 'out',
      words: 'transmission',
      of: (sum) => sum.storeTransmissionLoss,
    },
    slip_loss_kJ: { side: 'out', words: 'clutch slip', of: (sum) => sum.storeSlipLoss },
    rotor_drag_kJ: { side: 'out', words: 'rotor drag', of: (sum) => sum.storeDragLoss },
    stored_change_kJ: { side: 'out', words: 'rise in store', of: (sum) => sum.storeChange },
  },
  electric: {
    from_engine_kJ: { side: 'in', words: 'from the engine', of: (sum) => sum.accessories },
    battery_debt_rise_kJ: {
      side: 'in',
      words: 'owed to the battery',
      of: (sum) => sum.debtChange,
    },
    load_kJ: { side: 'out', words: 'loads', of: (sum) => sum.electricLoad },
    starter_kJ: { side: 'out', words: 'starter', of: (sum) => sum.starter },
    alternator_loss_kJ: { side: 'out', words: 'alternator', of: (sum) => sum.alternatorLoss },
    battery_loss_kJ: { side: 'out', words: 'battery', of: (sum) => sum.batteryLoss },
  },
} as const satisfies Record<string, Record<string, LedgerLine>>;

/** Nodes of the ledger. */
export type NodeName = keyof typeof LEDGER_LINES;

/** Lines of a node, in results. */
export type NodeLines<Name extends NodeName> = {
  readonly [Key in keyof (typeof LEDGER_LINES)[Name]]: number;
};

/** Change of the engine's rotating energy: what its shaft and the starter gave, less what was lost. */
function rotatingChange(sum: Ledger): number {
  return sum.rotating + sum.starterWork - sum.shiftLoss;
}

function recovered(sum: Ledger): number {
  return sum.recoveredBraking + sum.recoveredFromEngine;
}
