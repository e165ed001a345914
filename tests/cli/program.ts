import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

/** Root of the package under test. */
export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** The program as it is installed. */
export const PROGRAM = join(ROOT, 'bin', 'spinledger.js');

const { PATH } = process.env;

/** What a command did. */
export interface Done {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

interface Surroundings {
  /** Folder in which the command runs; the root of the package if left out */
  readonly cwd?: string;
  /** Variables besides PATH */
  readonly env?: Readonly<Record<string, string>>;
}

/**
 * Runs the built program and throws with command, status and both outputs unless it ends with the
 * status that is expected.
 */
export function spinledger(
  expected: number,
  args: readonly string[],
  { cwd = ROOT, env = {} }: Surroundings = {},
): Done {
  const { status, signal, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...args], {
    cwd,
    env: { PATH, ...env },
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  if (status !== expected) {
    throw new Error(
      `spinledger ${args.join(' ')}\nstatus ${status ?? signal}, not ${expected}\nstdout:\n${stdout.slice(0, 2000)}\nstderr:\n${stderr.slice(0, 2000)}`,
    );
  }
  return { status, stdout, stderr };
}

/** Runs a shell line in which `spinledger` stands for the built program. */
export function shell(line: string, { cwd = ROOT, env = {} }: Surroundings = {}): Done {
  const defined = `spinledger() { "${process.execPath}" "${PROGRAM}" "$@"; }; ${line}`;
  const { status, stdout, stderr } = spawnSync('bash', ['--norc', '-c', defined], {
    cwd,
    env: { PATH, ...env },
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  return { status, stdout, stderr };
}

/** An empty folder that is gone when the test is over. */
export function temporaryFolder(): string {
  const folder = realpathSync(mkdtempSync(join(tmpdir(), 'spinledger-')));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** All files under a folder, sorted. */
export function filesUnder(folder: string): string[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' }).toSorted();
}
