import type { Ledger } from '../simulate/ledger.ts';
import type { LedgerLine } from './ledger-lines.ts';

/**
 * The ledger of a drive at full load: engine and store work on one side, what the car gained and what
 * was lost on the way on the other; and where the work of the store comes from.
 */
export const SPRINT_LINES = {
  drive: {
    engine_work_kJ: { side: 'in', words: 'engine', of: (sum) => sum.fuel - sum.engineHeat },
    store_work_kJ: { side: 'in', words: 'store', of: (sum) => sum.assisted },
    kinetic_kJ: { side: 'out', words: 'kinetic energy', of: (sum) => sum.kinetic },
    aerodynamic_kJ: { side: 'out', words: 'aerodynamic', of: (sum) => sum.aerodynamic },
    rolling_kJ: { side: 'out', words: 'rolling', of: (sum) => sum.rolling },
    grade_kJ: { side: 'out', words: 'grade', of: (sum) => sum.grade },
    launch_slip_kJ: { side: 'out', words: 'launch slip', of: (sum) => sum.launchSlip },
    gearbox_loss_kJ: { side: 'out', words: 'gearbox', of: (sum) => sum.gearboxLoss },
    final_drive_loss_kJ: { side: 'out', words: 'final drive', of: (sum) => sum.finalDriveLoss },
    accessories_kJ: { side: 'out', words: 'accessories', of: (sum) => sum.accessories },
    engine_rotation_kJ: {
      side: 'out',
      words: 'engine rotation',
      of: (sum) => sum.rotating - sum.shiftLoss,
    },
    shift_loss_kJ: { side: 'out', words: 'changes of gear', of: (sum) => sum.shiftLoss },
  },
  store: {
    drawn_from_rotor_kJ: { side: 'in', words: 'rotor', of: (sum) => -sum.storeChange },
    store_work_kJ: { side: 'out', words: 'to the wheels', of: (sum) => sum.assisted },
    slip_loss_kJ: { side: 'out', words: 'slip', of: (sum) => sum.storeSlipLoss },
    transmission_loss_kJ: {
      side: 'out',
      words: 'transmission',
      of: (sum) => sum.storeTransmissionLoss,
    },
    rotor_drag_kJ: { side: 'out', words: 'rotor drag', of: (sum) => sum.storeDragLoss },
  },
} as const satisfies Record<string, Record<string, LedgerLine>>;

/** A value [kJ] for each line of a part of that ledger. */
export type SprintLines<Part extends keyof typeof SPRINT_LINES> = {
  readonly [Key in keyof (typeof SPRINT_LINES)[Part]]: number;
};

/** A ledger in these lines, in the unit that `perUnit` is the joules of. */
export function sprintLines<Part extends keyof typeof SPRINT_LINES>(
  part: Part,
  ledger: Ledger,
  perUnit: number,
): SprintLines<Part> {
  const lines: [string, LedgerLine][] = Object.entries(SPRINT_LINES[part]);
  return Object.fromEntries(
    lines.map(([key, line]) => [key, line.of(ledger) / perUnit]),
  ) as SprintLines<Part>;
}
