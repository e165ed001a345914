/**
 * npm run build, then: node tests/bench/bound.js [--json]
 *
 * Measures the bound of the shipped example on WLTC class 3b: one coarse pass, all passes until the
 * fuel has settled, and how the time grows with the length of the trace. Processor time of one thread,
 * the best of a few rounds after a warm-up. No test depends on these figures.
 */
import { fileURLToPath } from 'node:url';
import { cut, findBound, fitStore, loadCase } from '../../dist/index.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

function best(rounds, work) {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i++) {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    least = Math.min(least, (user + system) / 1e3);
  }
  return Math.round(least);
}

const { subject } = await loadCase({
  car: `${ROOT}examples/cars/estate.json`,
  store: `${ROOT}examples/stores/rim-45.json`,
  strategy: `${ROOT}examples/strategies/coast.json`,
  cycle: 'wltc-class3b',
});
const { store, trace } = subject;
const car = fitStore(subject.car, store);
const half = cut(trace, 0, 900);
const all = findBound(car, store, trace);
const result = {
  bound_one_pass_ms: best(3, () => findBound(car, store, trace, 1)),
  bound_one_pass_half_the_trace_ms: best(3, () => findBound(car, store, half, 1)),
  bound_ms: best(2, () => findBound(car, store, trace)),
  bound_passes: all.grid.passes,
  bound_refinement_pct: Number((100 * all.refinement).toFixed(4)),
  one_pass_above_bound_pct: Number(
    (100 * (findBound(car, store, trace, 1).fuel / all.fuel - 1)).toFixed(4),
  ),
};

if (process.argv.includes('--json')) process.stdout.write(`${JSON.stringify(result, null, 2)}\n`);
else {
  for (const [name, value] of Object.entries(result)) {
    process.stdout.write(`${name.padEnd(36)} ${value}\n`);
  }
}
