import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { builtInCycles, cycleFile, findBuiltInCycle } from '../../src/cycle/library.ts';
import { parseCycle } from '../../src/cycle/read.ts';

const root = new URL('../../', import.meta.url);

describe('the built-in cycles', () => {
  it('are just the tables in the folder of cycles', () => {
    const files = readdirSync(new URL('cycles', root)).filter((file) => file.endsWith('.csv'));
    expect(builtInCycles.map((cycle) => `${cycle.name}.csv`).sort()).toEqual(files.sort());
  });

  it.each(builtInCycles)('$name can be read like any cycle of a user', (cycle) => {
    const text = readFileSync(new URL(cycleFile(cycle), root), 'utf8');
    const trace = parseCycle(text, { file: cycleFile(cycle), name: cycle.name });
    expect(trace.name).toBe(cycle.name);
    expect(trace.time[0]).toBe(0);
    expect(trace.speed[0]).toBe(0);
    expect(trace.speed.at(-1)).toBe(0);
  });

  it.each(builtInCycles)('$name has an entry in the list of sources', (cycle) => {
    const sources = readFileSync(new URL('cycles/SOURCES.md', root), 'utf8');
    expect(sources).toContain(`\n### ${cycle.name}\n`);
    expect(sources).toContain(`\n| ${cycle.name} `);
  });

  it('are found by their exact name', () => {
    expect(findBuiltInCycle('nedc')?.standard).toContain('Regulation No. 83');
    expect(findBuiltInCycle('NEDC')).toBeUndefined();
    expect(findBuiltInCycle('')).toBeUndefined();
  });
});
