import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCar, loadStore, loadStrategy } from '../../src/config/load.ts';
import type { DocumentKind } from '../../src/study/number-path.ts';
import { tunedFile } from '../../src/tune/tuned-file.ts';
import { EXAMPLES, exampleData } from '../config/drafts.ts';
import { newFolder, SMALL, tuneOf } from './tunes.ts';

/** A file with numbers at some paths, as it is written into a folder. */
async function written(
  kind: DocumentKind,
  tune: object,
  numbers: Readonly<Record<string, number>>,
  folder = newFolder(),
  files: Readonly<Record<string, string>> = {},
): Promise<string> {
  const vary = Object.entries(numbers).map(([path]) => ({ path, ...BOUNDS[path] }));
  const loaded = await tuneOf({ ...SMALL, ...tune, vary }, files);
  const path = join(folder, `tuned-${kind}.json`);
  writeFileSync(
    path,
    tunedFile(kind, loaded.parts[kind], loaded.numbers, Object.values(numbers), folder),
  );
  return path;
}

const BOUNDS: Readonly<Record<string, object>> = {
  'strategy.keep_off.max_power_kW': { from: 1, to: 50 },
  'strategy.assist.share_pct': { from: 1, to: 100 },
  'strategy.plugin.parameters.share': { from: 0, to: 1 },
  'store.power_limit_kW': { from: 1, to: 500 },
  'car.mass_kg': { from: 500, to: 9000 },
  'car.gearbox.ratios.0': { from: 1, to: 9 },
};

describe('a tuned file', () => {
  it('keeps all else, in its order', async () => {
    const path = await written('strategy', {}, { 'strategy.keep_off.max_power_kW': 7.5 });
    const text = readFileSync(path, 'utf8');
    const { $schema: _, ...before } = exampleData('strategies/keep-off.json');
    const { $schema, ...after } = JSON.parse(text);
    expect(after).toEqual({ ...before, keep_off: { ...before.keep_off, max_power_kW: 7.5 } });
    expect(JSON.stringify(after)).toBe(
      JSON.stringify(before).replace('"max_power_kW":20', '"max_power_kW":7.5'),
    );
    expect(text.endsWith('}\n')).toBe(true);
  });

  it('gets a number that its file leaves to a default, in the section that it belongs to', async () => {
    const path = await written('strategy', {}, { 'strategy.assist.share_pct': 80 });
    expect(JSON.parse(readFileSync(path, 'utf8')).assist.share_pct).toBe(80);
    expect((await loadStrategy(path)).name).toBe('keep-off');
  });

  it('leads to the tables that its file names, from wherever it is written', async () => {
    const deep = join(newFolder(), 'a/b');
    mkdirSync(deep, { recursive: true });
    const store = await written('store', { store: 'large' }, { 'store.power_limit_kW': 99 }, deep);
    const large = await loadStore(join(EXAMPLES, 'stores/large.json'));
    const { loss_table } = large.identity as { readonly loss_table: object };
    expect((await loadStore(store)).identity).toMatchObject({ loss_table, power_limit_kW: 99 });
    const car = await written('car', { car: 'compact' }, { 'car.mass_kg': 1234 }, deep);
    expect((await loadCar(car)).identity).toMatchObject({ mass_kg: 1234 });
    const schema = JSON.parse(readFileSync(car, 'utf8')).$schema;
    expect(readFileSync(join(deep, schema), 'utf8')).toContain('"title": "spinledger car"');
  });

  it('sets an entry of a list, and leaves the list on its line', async () => {
    const path = await written('car', {}, { 'car.gearbox.ratios.0': 4.5 });
    const [, ...rest] = exampleData('cars/estate.json').gearbox.ratios;
    expect(readFileSync(path, 'utf8')).toContain(`"ratios": [4.5, ${rest.join(', ')}]`);
  });

  it('leads to the plug-in of its file', async () => {
    const source = `export default ({ share }) => ({
      name: 'mine',
      decide(see, want) { want.storePower = share * see.assistLimit; },
    });`;
    const strategy = {
      name: 'mine',
      plugin: { module: './mine.mjs', parameters: { share: 0.5, other: [1, { deep: true }] } },
    };
    const numbers = { 'strategy.plugin.parameters.share': 1 };
    const path = await written('strategy', { strategy }, numbers, newFolder(), {
      'mine.mjs': source,
    });
    const { plugin } = JSON.parse(readFileSync(path, 'utf8'));
    expect(plugin.parameters).toEqual({ share: 1, other: [1, { deep: true }] });
    expect(plugin.module).toMatch(/^\.\.\/.*\/mine\.mjs$/);
    expect((await loadStrategy(path)).identity).toMatchObject({ source: expect.anything() });
  });
});
