import { fileURLToPath } from 'node:url';

/** Whether a module is what Node was asked to run, and not a part of another measurement. */
export function isMain(url) {
  return process.argv[1] === fileURLToPath(url);
}

/** Prints figures by their names, a line each; with `--json` as data. */
export function print(figures) {
  if (process.argv.includes('--json')) {
    process.stdout.write(`${JSON.stringify(figures, null, 2)}\n`);
    return;
  }
  for (const [name, value] of Object.entries(figures)) {
    process.stdout.write(`${name.padEnd(36)} ${value}\n`);
  }
}
