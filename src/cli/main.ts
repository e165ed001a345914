import { twoTurns } from '../study/event-loop.ts';
import { compileForOneCase } from './compiling.ts';
import { exitStatus } from './exit-status.ts';
import { divertPlugInOutput } from './plug-in-output.ts';
import { program } from './program.ts';
import { UnfinishedWork } from './unfinished-work.ts';

compileForOneCase();

divertPlugInOutput();

// A plug-in runs in this process, and may end it, wait for ever, or throw when nobody listens.
const unfinished = new UnfinishedWork();

try {
  await program().parseAsync(process.argv);
} catch (error) {
  process.exitCode = exitStatus(error);
}
// What a plug-in has left behind and is due comes out now. A timer that is not must not keep the process:
// all that the program writes is written.
await twoTurns();
unfinished.done();
process.exit();
