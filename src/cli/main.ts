import { setFlagsFromString } from 'node:v8';
import { exitStatus } from './exit-status.ts';
import { program } from './program.ts';

// A single case ends before the engine's optimising compiler has paid for itself: on a regulated
// cycle it took longer than the case. With this budget [bytes of bytecode run] it starts four times
// as late, which a long log does not notice.
setFlagsFromString('--interrupt-budget=500000');

// Sets the status and lets the process end by itself: an exit called here would cut off output
// that a pipe has not taken yet.
try {
  await program().parseAsync(process.argv);
} catch (error) {
  process.exitCode = exitStatus(error);
}
