/**
 * node tests/bench/kill-loop.js [kills] [seed]
 *
 * Kills a study again and again, each time at another moment, starts it again, and at last holds its
 * results against those of a run that nobody disturbed. Ends with status 1 where a byte differs, or
 * where a case is gone that had been finished.
 */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const PROGRAM = fileURLToPath(new URL('../../bin/spinledger.js', import.meta.url));
const [kills = 20, seed = 1] = process.argv.slice(2).map(Number);
const CASES = 600;
const STUDY = {
  name: 'killed',
  cars: ['estate'],
  stores: ['rim-45'],
  strategies: ['coast'],
  cycles: ['nycc'],
  vary: [{ path: 'store.power_limit_kW', range: { start: 5, stop: 60, count: CASES } }],
  outputs: { logs: true },
};

/** Seeded uniform numbers in 0 … 1 (the 32-bit mixer known as mulberry32). */
function seeded(start) {
  let state = start >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

function args(study, out) {
  return [PROGRAM, 'study', study, '--out', out, '--format', 'none'];
}

/** Hashes of the cases whose lines are whole. */
function finished(out) {
  try {
    const lines = readFileSync(join(out, 'journal.jsonl'), 'utf8').split('\n').slice(1, -1);
    return new Set(lines.map((line) => JSON.parse(line).hash));
  } catch (error) {
    if (error.code === 'ENOENT') return new Set();
    throw error;
  }
}

/** Starts the study and kills it; half of the time before it has begun with a case. */
async function killed(study, out, random) {
  const child = spawn(process.execPath, args(study, out), { stdio: 'ignore' });
  const end = new Promise((resolve) => child.on('close', resolve));
  const before = finished(out).size;
  if (random() < 0.5) {
    while (finished(out).size === before && child.exitCode === null) await pause(5);
  }
  await pause(800 * random());
  child.kill('SIGKILL');
  await end;
}

function pause(time) {
  return new Promise((resolve) => setTimeout(resolve, time));
}

/** All files but the journal and what is about the run. */
function results(out) {
  const names = readdirSync(out, { recursive: true }).filter(
    (name) => !['journal.jsonl', 'made.json'].includes(name),
  );
  const files = names.filter((name) => statSync(join(out, name)).isFile()).sort();
  return new Map(files.map((name) => [name, readFileSync(join(out, name), 'utf8')]));
}

function wholeRun(study, out) {
  const { status, stderr } = spawnSync(process.execPath, args(study, out), { encoding: 'utf8' });
  if (status !== 0) throw new Error(`status ${status}: ${stderr}`);
}

const folder = mkdtempSync(join(tmpdir(), 'spinledger-kill-'));
try {
  const study = join(folder, 'study.json');
  writeFileSync(study, JSON.stringify(STUDY));
  wholeRun(study, join(folder, 'once'));
  const out = join(folder, 'killed');
  const random = seeded(seed);
  const counts = [];
  let lost = 0;
  for (let kill = 0; kill < kills; kill++) {
    const before = finished(out);
    await killed(study, out, random);
    const after = finished(out);
    lost += [...before].filter((hash) => !after.has(hash)).length;
    counts.push(after.size);
  }
  wholeRun(study, out);
  const expected = results(join(folder, 'once'));
  const found = results(out);
  const names = new Set([...expected.keys(), ...found.keys()]);
  const differing = [...names].filter((name) => expected.get(name) !== found.get(name));
  console.log(
    `${kills} kills, seed ${seed}; finished after each, of ${CASES}: ${counts.join(' ')}`,
  );
  console.log(`${lost} finished cases lost; ${differing.length} of ${names.size} files differ`);
  for (const name of differing.slice(0, 10)) console.log(`  ${name}`);
  if (lost > 0 || differing.length > 0) process.exitCode = 1;
} finally {
  rmSync(folder, { recursive: true });
}
