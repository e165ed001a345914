/**
 * Studies with the built program: a thousand cases on UDDS with one worker and with two (and beside it
 * what two threads bring that do nothing but count, which is all that the machine has to give at that
 * moment), what a case costs beyond its time loop, and how soon the first case of a hundred thousand is finished, with the
 * most memory that was held until then.
 */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { Demand, fitStore, loadCase, runBalanced } from '../../dist/index.js';

const PROGRAM = fileURLToPath(new URL('../../bin/spinledger.js', import.meta.url));
const PEAK_MEMORY = fileURLToPath(new URL('./peak-memory.js', import.meta.url));
const PARTS = { cars: ['estate'], stores: ['rim-45'], strategies: ['coast'], cycles: ['udds'] };
const CASES = 1000;
const ROUNDS = 3;
/** One job still has its garbage collected and its code compiled on other cores, if it is let. */
const ON_ONE_CORE =
  spawnSync('taskset', ['-c', '0', 'true']).status === 0
    ? ['taskset', '-c', '0', process.execPath]
    : undefined;
/** A journal with a finished case in it is longer than this [bytes]. */
const HEADER = 500;

function power(count) {
  return { path: 'store.power_limit_kW', range: { start: 10, stop: 60, count } };
}

/** Figures of studies, by their names. */
export async function studyFigures() {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-bench-'));
  try {
    const study = join(folder, 'thousand.json');
    writeFileSync(study, JSON.stringify({ name: 'thousand', ...PARTS, vary: [power(CASES)] }));
    const loop = await timeLoop();
    const one = best(() => secondsFor(study, folder, 1));
    const two = best(() => secondsFor(study, folder, 2));
    const oneCore = ON_ONE_CORE && best(() => secondsFor(study, folder, 1, ON_ONE_CORE));
    const alone = await counting(1);
    const together = await counting(2);
    return {
      study_1000_udds_s_best_1_job: round(one),
      study_1000_udds_s_best_2_jobs: round(two),
      study_2_jobs_over_1: round(one / two),
      ...(oneCore && { study_2_cores_over_1: round(oneCore / two) }),
      counting_2_threads_over_1: round((2 * alone) / together),
      study_overhead_ms_a_case: round((one / CASES) * 1e3 - loop),
      ...(await hundredThousand(folder)),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Seconds from the first case of a study to its last, workers' start and journal with them. */
function secondsFor(study, folder, jobs, [command, ...before] = [process.execPath]) {
  const out = join(folder, 'out');
  const args = ['study', study, '--out', out, '--jobs', String(jobs), '--format', 'none'];
  const done = spawnSync(command, [...before, PROGRAM, ...args], { encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`study: status ${done.status}: ${done.stderr}`);
  const { seconds } = JSON.parse(readFileSync(join(out, 'made.json'), 'utf8'));
  rmSync(out, { recursive: true });
  return seconds;
}

/** Time in which so many threads count to a number each [ms], the best of a few rounds. */
async function counting(threads) {
  const count = 'let sum = 0; for (let i = 0; i < 5e8; i++) sum += i & 3;';
  const thread = () =>
    new Promise((resolve) => new Worker(count, { eval: true }).on('exit', resolve));
  const rounds = [];
  for (let round = 0; round < ROUNDS; round++) {
    const start = performance.now();
    await Promise.all(Array.from({ length: threads }, thread));
    rounds.push(performance.now() - start);
  }
  return Math.min(...rounds);
}

/** Time of the loop with the store on UDDS [ms], which no study can do without. */
async function timeLoop() {
  const { car, store, strategy, cycle } = await loadCase({
    car: 'estate',
    store: 'rim-45',
    strategy: 'coast',
    cycle: 'udds',
  });
  const fitted = fitStore(car.value, store.value);
  const demand = new Demand(fitted, store.value, cycle.value);
  const once = () => runBalanced(fitted, store.value, demand, strategy.value.make);
  for (let i = 0; i < 200; i++) once();
  return best(() => {
    const start = performance.now();
    for (let i = 0; i < 100; i++) once();
    return (performance.now() - start) / 100;
  });
}

/** Plans a hundred thousand cases, each with a store of its own, and ends with the first ones. */
async function hundredThousand(folder) {
  const study = join(folder, 'many.json');
  const energy = {
    path: 'store.rotor.energy_at_max_kJ',
    range: { start: 100, stop: 600, count: 250 },
  };
  writeFileSync(study, JSON.stringify({ name: 'many', ...PARTS, vary: [power(400), energy] }));
  const out = join(folder, 'many');
  const journal = join(out, 'journal.jsonl');
  const start = performance.now();
  const args = ['--import', PEAK_MEMORY, PROGRAM, 'study', study, '--out', out, '--format', 'none'];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'ignore', 'pipe'] });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text) => {
    stderr += text;
  });
  const end = new Promise((resolve) => child.on('close', resolve));
  while (!(existsSync(journal) && statSync(journal).size > HEADER) && child.exitCode === null) {
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  const first = (performance.now() - start) / 1e3;
  child.kill('SIGINT');
  const status = await end;
  if (status !== 130) throw new Error(`study of many cases: status ${status}: ${stderr}`);
  return {
    study_100000_first_case_s: round(first),
    study_100000_peak_rss_MB: Math.round(
      (Number(stderr.trimEnd().split('\n').at(-1)) * 1024) / 1e6,
    ),
  };
}

function best(measure) {
  return Math.min(...Array.from({ length: ROUNDS }, measure));
}

function round(value) {
  return Number(value.toFixed(2));
}
