/** Loaded ahead of a program, writes the processor time of all its threads [ms] as its last line of stderr. */
import { writeSync } from 'node:fs';

const STANDARD_ERROR = 2;

process.on('exit', () => {
  const { user, system } = process.cpuUsage();
  writeSync(STANDARD_ERROR, `${Math.round((user + system) / 1e3)}\n`);
});
