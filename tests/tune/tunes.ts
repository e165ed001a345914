import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Problem } from '../../src/config/problem.ts';
import { CaseRunner } from '../../src/study/case-runner.ts';
import { CaseInputs } from '../../src/study/inputs.ts';
import { Journal } from '../../src/study/journal.ts';
import type { CaseSource } from '../../src/study/work.ts';
import { loadTune } from '../../src/tune/load-tune.ts';
import { runTune, type Tuned } from '../../src/tune/run-tune.ts';
import type { Workshop } from '../../src/tune/trials.ts';
import type { Tune } from '../../src/tune/tune.ts';
import { folderWith, problemsOf } from '../config/drafts.ts';

/** A short drive through town: three hills of speed, in a minute and a half. */
export const HILLS = {
  name: 'hills',
  time_s: [0, 5, 13, 25, 33, 40, 52, 60, 70, 80, 90],
  speed_kmh: [0, 0, 40, 42, 0, 0, 50, 48, 20, 0, 0],
};

/** Another one, slower. */
export const STOPS = {
  name: 'stops',
  time_s: [0, 6, 12, 18, 26, 34, 42, 50, 60],
  speed_kmh: [0, 25, 25, 0, 30, 30, 8, 0, 0],
};

/** A tune of two numbers on a short drive, which tests extend. */
export const SMALL = {
  name: 'small',
  car: 'estate',
  store: 'rim-60',
  strategy: 'keep-off',
  cycles: [HILLS],
  vary: [
    { path: 'strategy.keep_off.stop_above_pct', from: 5, to: 80 },
    { path: 'strategy.keep_off.max_power_kW', from: 5, to: 40 },
  ],
  budget: { evaluations: 40, seed: 1 },
};

/** Writes a tune into a folder of its own and returns its path. */
export function writtenTune(tune: object, files: Readonly<Record<string, string>> = {}): string {
  const path = join(folderWith(files), 'tune.json');
  writeFileSync(path, JSON.stringify(tune, null, 2));
  return path;
}

/** A tune that nothing is wrong with. */
export function tuneOf(tune: object, files?: Readonly<Record<string, string>>): Promise<Tune> {
  return loadTune(writtenTune(tune, files));
}

/** What is wrong with a tune; the names of its files without their folder. */
export async function tuneProblems(
  tune: object,
  files?: Readonly<Record<string, string>>,
): Promise<readonly Problem[]> {
  const problems = await problemsOf(tuneOf(tune, files));
  return problems.map(({ file, ...rest }) => ({
    ...rest,
    ...(file !== undefined && { file: file.slice(file.lastIndexOf('/') + 1) }),
  }));
}

/** Runs cases here and now, and notes which. */
export class Bench implements Workshop {
  readonly journal: Journal;
  readonly signal: AbortSignal;
  readonly ran: string[] = [];
  readonly crew: Workshop['crew'];

  private constructor(journal: Journal, tune: Tune, signal: AbortSignal) {
    this.journal = journal;
    this.signal = signal;
    const runner = new CaseRunner(new CaseInputs(tune.sources), { explain: false, bound: false });
    this.crew = {
      run: async ({ caseAt }: CaseSource, indices: readonly number[]) => {
        for (const index of indices) {
          if (signal.aborted) break;
          const planned = caseAt(index);
          this.ran.push(planned.hash);
          await journal.append(`${(await runner.run(planned)).line}\n`);
        }
        return { finished: indices.length, failed: 0 };
      },
    };
  }

  /** @param folder with the journal; one of its own if left out */
  static async of(tune: Tune, folder = newFolder(), signal = new AbortController().signal) {
    const journal = await Journal.open(folder);
    onTestFinished(() => journal.close());
    return new Bench(journal, tune, signal);
  }
}

/** Runs a tune to its end, without workers. */
export async function tunedBy(
  tune: object,
  files?: Readonly<Record<string, string>>,
): Promise<Tuned> {
  const loaded = await tuneOf(tune, files);
  return runTune(loaded, await Bench.of(loaded), () => undefined);
}

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-tune-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
