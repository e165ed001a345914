import { parentPort } from 'node:worker_threads';
import { namedFrom } from '../config/files.ts';
import { loadPlugIn } from '../config/plug-in.ts';
import { InputError } from '../config/problem.ts';
import { LateErrors } from '../study/late-errors.ts';
import type { PlugInAnswer, PlugInAsked } from '../study/plug-in-threads.ts';
import { divertPlugInOutput } from './plug-in-output.ts';

// The thread that tries a plug-in when a study is planned: a bundle of its own, `dist/plug-in-thread.js`.

divertPlugInOutput();

const late = new LateErrors();
const port = parentPort!;

port.on('message', async (asked: PlugInAsked) => {
  // Nothing but the plug-in holds the thread meanwhile: one that waits for ever ends it at once.
  port.unref();
  const answer = await answerTo(asked);
  port.ref();
  port.postMessage(answer);
});

async function answerTo({ name, folder, module, parameters }: PlugInAsked): Promise<PlugInAnswer> {
  try {
    const { source } = await loadPlugIn(name, folder, module, parameters);
    const thrown = await late.take();
    if (thrown === undefined) return { source };
    return { problems: [{ ...thrown, file: namedFrom(folder, module) }] };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { problems: error.problems };
  }
}
