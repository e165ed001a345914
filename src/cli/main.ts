import { compileForOneCase } from './compiling.ts';
import { exitStatus } from './exit-status.ts';
import { divertPlugInOutput } from './plug-in-output.ts';
import { program } from './program.ts';
import { UnfinishedWork } from './unfinished-work.ts';

compileForOneCase();

divertPlugInOutput();

// A plug-in runs in this process, and may end it, wait for ever, or throw when nobody listens.
const unfinished = new UnfinishedWork();

// Sets the status and lets the process end by itself: an exit called here would cut off output
// that a pipe has not taken yet.
try {
  await program().parseAsync(process.argv);
} catch (error) {
  process.exitCode = exitStatus(error);
}
unfinished.done();
