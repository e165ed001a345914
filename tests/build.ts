import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** Builds the program once before all tests, unless it is newer than all that it is made from. */
export function setup(): void {
  const built = ['cli', 'study-worker', 'plug-in-thread', 'index'].map((name) =>
    join(ROOT, 'dist', `${name}.js`),
  );
  const oldest = Math.min(...built.map((file) => (existsSync(file) ? changed(file) : 0)));
  const sources = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' });
  const newest = Math.max(
    changed(join(ROOT, 'package.json')),
    ...sources.map((name) => changed(join(ROOT, 'src', name))),
  );
  if (oldest > newest) return;
  execFileSync('npm', ['run', '--silent', 'build:code'], { cwd: ROOT, stdio: 'inherit' });
}

function changed(file: string): number {
  return statSync(file).mtimeMs;
}
