import { setFlagsFromString } from 'node:v8';

// When the engine compiles what it runs often: a matter of time only, never of results. The budgets
// are bytes of bytecode that are run in a function before it is looked at.

/**
 * For one case: it is over before the optimising compiler has paid for itself; on a regulated cycle
 * compiling took longer than driving. It starts some ten times as late, which a long log does not
 * notice.
 */
export function compileForOneCase(): void {
  setFlagsFromString('--interrupt-budget=1500000');
}

/**
 * For many cases, in this thread and those that it starts: the usual budget, and plain machine code
 * from the first call on, took 0.26 s of 0.92 s off sixty cases and 0.3 s of 3 s off a thousand.
 */
export function compileForManyCases(): void {
  setFlagsFromString('--interrupt-budget=135168');
  setFlagsFromString('--always-sparkplug');
}

/**
 * For one long search in few functions: it calls the same small ones some hundred million times, and
 * more of them may be compiled into those that call them. That took 0.6 s of 4.4 s off a bound.
 */
export function compileForSearch(): void {
  setFlagsFromString('--interrupt-budget=400000');
  setFlagsFromString('--max-inlined-bytecode-size-cumulative=3000');
}
