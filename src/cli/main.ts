import { setFlagsFromString } from 'node:v8';
import { exitStatus } from './exit-status.ts';
import { program } from './program.ts';
import { UnfinishedWork } from './unfinished-work.ts';

// A single case is over before the engine's optimising compiler has paid for itself: on a regulated
// cycle compiling took longer than driving. With this budget [bytes of bytecode run in a function]
// it starts some ten times as late, which a long log does not notice, nor a study of thousands of
// cases: its workers have it, too, and are the quicker with a few dozen cases.
setFlagsFromString('--interrupt-budget=1500000');

// What a plug-in prints is no result; our own results go to the descriptor.
process.stdout.write = process.stderr.write.bind(process.stderr);

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
