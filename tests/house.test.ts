import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const SRC = fileURLToPath(new URL('../src', import.meta.url));

/** Folders from the ground up; a folder may import from those before it, and from itself. */
const FLOORS: readonly (readonly string[])[] = [
  ['physics'],
  ['cycle', 'strategy'],
  ['simulate'],
  ['summary'],
  ['optimum'],
  ['fit', 'study'],
  ['tune'],
  ['output'],
  ['cli'],
];

/** Folders that must run anywhere, a browser or a worker included. */
const PURE = ['physics', 'strategy', 'simulate'];

interface Import {
  readonly file: string;
  readonly folder: string;
  readonly target: string;
}

function sources(): string[] {
  return readdirSync(SRC, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.ts'),
  );
}

function imports(): Import[] {
  return sources().flatMap((file) => {
    const text = readFileSync(join(SRC, file), 'utf8');
    const targets = [...text.matchAll(/(?:from|import\()\s*'([^']+)'/g)].map((match) => match[1]!);
    return targets.map((target) => ({ file, folder: folderOf(file), target }));
  });
}

function folderOf(file: string): string {
  return file.includes('/') ? file.split('/')[0]! : '';
}

function targetFolder({ file, target }: Import): string | undefined {
  if (!target.startsWith('.')) return undefined;
  return folderOf(relative(SRC, join(SRC, file, '..', target)));
}

function floor(folder: string): number {
  return FLOORS.findIndex((folders) => folders.includes(folder));
}

describe('the house', () => {
  it('has source files to look at', () => {
    expect(sources().length).toBeGreaterThan(20);
    expect(imports().length).toBeGreaterThan(50);
  });

  it('imports one way only: physics, then cycle and strategy, simulate, summary, optimum, study, tune, output, cli', () => {
    const upward = imports().filter((entry) => {
      const target = targetFolder(entry);
      if (target === undefined || target === 'config' || target === entry.folder) return false;
      if (entry.folder === 'config' || entry.folder === '') return false;
      return floor(target) >= floor(entry.folder);
    });
    expect(upward).toEqual([]);
  });

  it('lets config serve every folder but physics', () => {
    const wrong = imports().filter(
      (entry) => entry.folder === 'physics' && targetFolder(entry) === 'config',
    );
    expect(wrong).toEqual([]);
  });

  it('keeps the platform, the command line and colour out of physics, strategy and simulate', () => {
    const wrong = imports().filter(
      ({ folder, target }) => PURE.includes(folder) && /^(node:|commander|chalk)/.test(target),
    );
    expect(wrong).toEqual([]);
  });

  it('keeps zod within config', () => {
    const wrong = imports().filter(({ folder, target }) => target === 'zod' && folder !== 'config');
    expect(wrong).toEqual([]);
  });
});
