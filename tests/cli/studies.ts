import { type ChildProcess, spawn } from 'node:child_process';
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { PROGRAM } from './program.ts';

const { PATH } = process.env;

/** Values of a varied number: `count` of them. */
export function powers(count: number) {
  return {
    path: 'store.power_limit_kW',
    range: { start: 10, stop: 40, count },
  };
}

/** A study of the shipped estate in New York traffic: small cases. */
export const SMALL = {
  name: 'small',
  cars: ['estate'],
  stores: ['rim-45'],
  strategies: ['coast'],
  cycles: ['nycc'],
};

/** Writes a study into a folder and returns its path. */
export function writeStudy(folder: string, study: object, name = 'study.json'): string {
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify({ ...SMALL, ...study }));
  return path;
}

/** What is the same however a study was run: all files but the journal and those about the run. */
export function resultsIn(folder: string): Record<string, string> {
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => !['journal.jsonl', 'made.json'].includes(name))
    .filter((name) => statSync(join(folder, name)).isFile())
    .toSorted();
  return Object.fromEntries(names.map((name) => [name, readFileSync(join(folder, name), 'utf8')]));
}

/** The records of a study. */
export function recordsIn(folder: string) {
  const lines = readFileSync(join(folder, 'results.jsonl'), 'utf8').trimEnd().split('\n');
  return lines.map((line) => JSON.parse(line));
}

/** A study that is running. */
export interface Running {
  readonly process: ChildProcess;
  /** Status or signal, and what was written to standard error */
  readonly end: Promise<{ status: number | null; signal: string | null; stderr: string }>;
}

/** Starts the built program and does not wait for it. */
export function start(args: readonly string[]): Running {
  const child = spawn(process.execPath, [PROGRAM, ...args], {
    env: { PATH },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const end = new Promise<Awaited<Running['end']>>((resolve) => {
    child.on('close', (status, signal) => resolve({ status, signal, stderr }));
  });
  return { process: child, end };
}

/** Cases that a journal holds. */
export function finishedIn(folder: string): number {
  try {
    return readFileSync(join(folder, 'journal.jsonl'), 'utf8').split('\n').length - 2;
  } catch {
    return 0;
  }
}

/** Waits until a study has finished so many cases, or has ended. */
export async function untilFinished(
  { process: child }: Running,
  folder: string,
  count: number,
): Promise<void> {
  while (finishedIn(folder) < count && child.exitCode === null) {
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}
