import { checkedStore } from '../config/checked-file.ts';
import { readDocument } from '../config/document.ts';
import { chamberOf, resolveStore, shapeOf } from '../config/resolve-store.ts';
import { shippedPath } from '../config/shipped.ts';
import { RPM } from '../config/units.ts';
import type { Estimate } from '../fit/intervals.ts';
import { fitSpindown } from '../fit/spindown.ts';
import { type GasReading, gasOf } from '../fit/spindown-gas.ts';
import { SPINDOWN_FORM, spinOf } from '../fit/spindown-run.ts';
import {
  type FittedSpindown,
  spindownResiduals,
  spindownSheet,
  spindownText,
} from '../output/fit-spindown.ts';
import { fitted, printFit, readTable } from './fit-print.ts';
import type { SpindownOptions } from './fit-spindown.ts';

/** What is known of a rotor beside its log. */
interface KnownRotor {
  readonly inertia: number;
  readonly maxSpeed?: number;
  readonly gas: (linear: Estimate) => GasReading | undefined;
}

/**
 * Reads a spin-down, fits it and prints what came out.
 * @throws InputError where the log cannot be used
 */
export async function runFitSpindown(file: string, options: SpindownOptions): Promise<void> {
  const { from, to } = options;
  const { inertia, maxSpeed, gas } = knownRotor(options);
  const table = await readTable(file, SPINDOWN_FORM, options);
  const range = {
    from: from === undefined ? Number.POSITIVE_INFINITY : from * RPM,
    to: to === undefined ? 0 : to * RPM,
  };
  const run = spinOf(table, range, maxSpeed);
  const fit = fitted(file, 'the drag of the rotor', 'take a longer log, or a smaller range', () =>
    fitSpindown(run, inertia),
  );
  const { c1 } = fit.coefficients;
  const result: FittedSpindown = {
    file,
    inertia,
    run,
    fit,
    gas: c1 === undefined ? undefined : gas(c1),
  };
  await printFit(
    {
      sheet: () => spindownSheet(result),
      text: () => spindownText(result),
      residuals: () => spindownResiduals(result),
    },
    options,
  );
}

function knownRotor({ store, inertia }: SpindownOptions): KnownRotor {
  if (store === undefined) return { inertia: inertia!, gas: () => undefined };
  const { file, table } = checkedStore(readDocument(shippedPath('store', store), 'a store file'));
  const { rotor } = resolveStore(file, table);
  const { drag } = file.rotor;
  return {
    inertia: rotor.inertia,
    maxSpeed: rotor.maxSpeed,
    gas: (linear) =>
      drag.form === 'physical' ? gasOf(linear, shapeOf(drag), chamberOf(drag)) : undefined,
  };
}
