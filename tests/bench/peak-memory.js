/** Loaded ahead of a program, writes the most memory that it ever held [kB] as its last line of stderr. */
import { writeSync } from 'node:fs';

const STANDARD_ERROR = 2;

process.on('exit', () => {
  writeSync(STANDARD_ERROR, `${process.resourceUsage().maxRSS}\n`);
});
