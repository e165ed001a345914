/**
 * npm run bench [-- --json]
 *
 * Measures the built program: the time loop on a balanced WLTC class 3b with store and engine-off
 * coast (no text written, one thread), `run` as a whole process against an empty Node process, memory
 * over the length of the trace, and a logged drive of 100 h at 10 Hz: rows a second read, cleaned and
 * driven once, and as a whole process with the most memory that it held; and studies (study.js), a
 * bound (bound.js) and a tune (tune.js).
 * Inputs are the shipped examples and an invented log; a figure with a best beside it is the median of
 * several rounds after a warm-up. No test depends on these figures.
 */
import { spawnSync } from 'node:child_process';
import { createReadStream, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  clean,
  DEFAULT_RULES,
  Demand,
  fitStore,
  initialState,
  loadCase,
  readDrive,
  run,
  runBalanced,
  traceFromSamples,
} from '../../dist/index.js';
import { boundFigures } from './bound.js';
import { writeLongLog } from './long-log.js';
import { print } from './print.js';
import { studyFigures } from './study.js';
import { tuneFigures } from './tune.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const EXAMPLE = {
  car: `${ROOT}examples/cars/estate.json`,
  store: `${ROOT}examples/stores/rim-45.json`,
  strategy: `${ROOT}examples/strategies/coast.json`,
  cycle: 'wltc-class3b',
};

function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)];
}

function time(work) {
  const start = performance.now();
  work();
  return performance.now() - start;
}

/** Intervals of all laps of balanced runs, per second. */
function timeLoop({ car, store, strategy, cycle }) {
  const fitted = fitStore(car.value, store.value);
  const demand = new Demand(fitted, store.value, cycle.value);
  const round = () => {
    let intervals = 0;
    const elapsed = time(() => {
      while (intervals < 1e6) {
        const done = runBalanced(fitted, store.value, demand, strategy.value.make);
        intervals += done.balance.laps * demand.count;
      }
    });
    return (intervals / elapsed) * 1e3;
  };
  for (let i = 0; i < 5; i++) round();
  return Array.from({ length: 11 }, round);
}

function wholeProcess(args) {
  const once = () =>
    time(() => {
      const done = spawnSync(process.execPath, args, {
        cwd: ROOT,
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      if (done.status !== 0) throw new Error(`${args.join(' ')}: status ${done.status}`);
    });
  once();
  return Array.from({ length: 11 }, once);
}

/** A trace that drives the given one over and over. */
function repeated(trace, times) {
  const n = trace.time.length - 1;
  const lap = trace.time[n] - trace.time[0];
  const long = {
    name: trace.name,
    time: new Float64Array(n * times + 1),
    speed: new Float64Array(n * times + 1),
    climb: new Float64Array(n * times),
    level: new Float64Array(n * times),
  };
  for (let k = 0; k <= n * times; k++) {
    const lapNumber = Math.min(Math.floor(k / n), times - 1);
    const j = k - lapNumber * n;
    long.time[k] = lapNumber * lap + trace.time[j];
    long.speed[k] = trace.speed[j];
    if (k < n * times) {
      long.climb[k] = trace.climb[k % n];
      long.level[k] = trace.level[k % n];
    }
  }
  return long;
}

/** Bytes that a run needs beyond the trace itself, after it has been done once. */
function memory({ car, store, strategy, cycle }, times) {
  const fitted = fitStore(car.value, store.value);
  const trace = repeated(cycle.value, times);
  const before = process.memoryUsage();
  const demand = new Demand(fitted, store.value, trace);
  run(fitted, store.value, demand, strategy.value.make(), initialState(fitted, store.value));
  const after = process.memoryUsage();
  return after.arrayBuffers - before.arrayBuffers;
}

/** Instants of the long log: 100 h at 10 Hz. */
const LOG_ROWS = 3_600_000;

/** A long log as a whole process, then step by step. */
async function longLog({ car, store, strategy }) {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-bench-'));
  try {
    const file = join(folder, 'long.csv');
    writeLongLog(file, LOG_ROWS);
    const whole = wholeLog(file);
    const rate = (elapsed) => Math.round(LOG_ROWS / (elapsed / 1e3));
    const start = performance.now();
    const { drive } = await readDrive(createReadStream(file, { highWaterMark: 1 << 18 }), {
      file,
      name: 'long',
    });
    const read = rate(performance.now() - start);
    let cleaned;
    const cleaning = time(() => {
      cleaned = clean(drive, DEFAULT_RULES);
    });
    const trace = traceFromSamples({ ...cleaned.drive, road: { kind: 'flat' } });
    const fitted = fitStore(car.value, store.value);
    const demand = new Demand(fitted, store.value, trace);
    const lap = time(() =>
      run(fitted, store.value, demand, strategy.value.make(), initialState(fitted, store.value)),
    );
    return {
      log_rows_per_second_read: read,
      log_rows_per_second_cleaned: rate(cleaning),
      log_rows_per_second_driven_once: rate(lap),
      log_rows_per_second_total: rate(whole.elapsed),
      log_peak_rss_MB: Math.round((whole.peak * 1024) / 1e6),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** `run` on a log: duration [ms] and most memory held [kB]. */
function wholeLog(file) {
  const peakMemory = fileURLToPath(new URL('./peak-memory.js', import.meta.url));
  const args = ['--import', peakMemory, 'bin/spinledger.js', 'run', '--tolerance', '100'];
  let done;
  const elapsed = time(() => {
    done = spawnSync(process.execPath, [...args, '--cycle', file, '--format', 'none'], {
      cwd: ROOT,
      encoding: 'utf8',
    });
  });
  if (done.status !== 0)
    throw new Error(`run on a long log: status ${done.status}: ${done.stderr}`);
  return { elapsed, peak: Number(done.stderr.trimEnd().split('\n').at(-1)) };
}

const loaded = await loadCase(EXAMPLE);
const loop = timeLoop(loaded);
const runs = wholeProcess(['bin/spinledger.js', 'run', '--format', 'json']);
const empty = wholeProcess(['-e', '0']);
const result = {
  intervals_per_second: Math.round(median(loop)),
  intervals_per_second_best: Math.round(Math.max(...loop)),
  run_wltc_ms: Number(median(runs).toFixed(1)),
  run_wltc_ms_best: Number(Math.min(...runs).toFixed(1)),
  empty_node_ms: Number(median(empty).toFixed(1)),
  empty_node_ms_best: Number(Math.min(...empty).toFixed(1)),
  run_over_empty_node: Number((median(runs) / median(empty)).toFixed(2)),
  columns_kB_at_18000_intervals: Math.round(memory(loaded, 10) / 1e3),
  columns_kB_at_1800000_intervals: Math.round(memory(loaded, 1000) / 1e3),
  ...(await longLog(loaded)),
  ...(await studyFigures()),
  ...(await boundFigures()),
  ...tuneFigures(),
};

print(result);
