/**
 * npm run bench, or alone: npm run build, then node tests/bench/bound.js [--json]
 *
 * Measures the bound of the shipped example on WLTC class 3b: all passes until the fuel has settled, one
 * coarse pass, and how the time of that grows with the length of the trace. Processor time of this
 * process, the best of a few rounds after a warm-up. No test depends on these figures.
 */
import { fileURLToPath } from 'node:url';
import { findBound, fitStore, loadCase, repeat } from '../../dist/index.js';
import { isMain, print } from './print.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

function best(rounds, work) {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i++) {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    least = Math.min(least, (user + system) / 1e6);
  }
  return Number(least.toFixed(2));
}

/** Figures of a bound, by their names. */
export async function boundFigures() {
  const { subject } = await loadCase({
    car: `${ROOT}examples/cars/estate.json`,
    store: `${ROOT}examples/stores/rim-45.json`,
    strategy: `${ROOT}examples/strategies/coast.json`,
    cycle: 'wltc-class3b',
  });
  const { store, trace } = subject;
  const car = fitStore(subject.car, store);
  const twice = repeat(trace, 2, 'twice');
  const one = findBound(car, store, trace, 1);
  const onePass = best(2, () => findBound(car, store, trace, 1));
  const twiceTrace = best(2, () => findBound(car, store, twice, 1));
  let all;
  const seconds = best(2, () => {
    all = findBound(car, store, trace);
  });
  return {
    bound_wltc_cpu_s: seconds,
    bound_wltc_passes: all.grid.passes,
    bound_wltc_refinement_pct: Number((100 * all.refinement).toFixed(4)),
    bound_one_pass_cpu_s: onePass,
    bound_one_pass_twice_the_trace_cpu_s: twiceTrace,
    bound_one_pass_above_all_pct: Number((100 * (one.fuel / all.fuel - 1)).toFixed(4)),
  };
}

if (isMain(import.meta.url)) print(await boundFigures());
