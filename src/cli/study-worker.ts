import { threadId, workerData } from 'node:worker_threads';
import { InputError, type Problem } from '../config/problem.ts';
import { writeLog } from '../output/log-csv.ts';
import { CannotWrite } from '../study/cannot-write.ts';
import { type AfterCase, CaseRunner } from '../study/case-runner.ts';
import {
  type Chunk,
  type ChunkDone,
  readSetup,
  runChunk,
  type WorkerData,
  type WorkerSetup,
} from '../study/chunk.ts';
import { CaseInputs } from '../study/inputs.ts';
import { LateErrors } from '../study/late-errors.ts';
import { tellLoaded } from '../study/loaded.ts';
import { logPath } from '../study/output-folder.ts';
import { divertPlugInOutput } from './plug-in-output.ts';
import { writeWhole } from './whole-file.ts';

// The thread of a pool that runs cases of a study: a bundle of its own, `dist/study-worker.js`.

divertPlugInOutput();

const data = workerData as WorkerData;
tellLoaded(data.loaded, threadId);
const late = new LateErrors();
let study: { readonly setup: WorkerSetup; readonly runner: CaseRunner } | undefined;

/** Runs a chunk that the pool hands over; all that come to a thread are of one study. */
export function run(chunk: Chunk): Promise<ChunkDone> {
  study ??= begin(readSetup(chunk.setup));
  return runChunk(study.runner, late, data, study.setup, chunk);
}

function begin(setup: WorkerSetup) {
  const { sources, outputs, folder } = setup;
  const runner = new CaseRunner(
    new CaseInputs(sources),
    outputs,
    outputs.logs ? logInto(folder) : undefined,
  );
  return { setup, runner };
}

/** A log is on the disk before its case counts as finished. */
function logInto(folder: string): AfterCase {
  return async ({ hash }, { subject }, result) => {
    try {
      await writeWhole(logPath(folder, hash), (write) => writeLog(subject, result, write));
    } catch (error) {
      const isOurs = error instanceof InputError && error.problems.some(isAboutWriting);
      throw isOurs ? new CannotWrite(error) : error;
    }
  };
}

function isAboutWriting({ code }: Problem): boolean {
  return code === 'cannot-write';
}
