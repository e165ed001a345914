import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readDocument } from '../../src/config/document.ts';
import { inputHash } from '../../src/config/hash.ts';
import { carFrom } from '../../src/config/load.ts';
import { type NumberPath, parseNumberPath } from '../../src/study/number-path.ts';
import { PartCheck } from '../../src/study/part-check.ts';
import { withSettings } from '../../src/study/variants.ts';
import { EXAMPLES, problemsOf } from '../config/drafts.ts';

const COMPACT = readDocument(join(EXAMPLES, 'cars/compact.json'), 'a car file');

/** The compact, whose engine is a table, with another number. */
function compactWith(path: string, value: number) {
  return withSettings(COMPACT, [{ path: parseNumberPath(path) as NumberPath, value }]);
}

describe('PartCheck', () => {
  it('takes over the table and the sections that documents share, and no other', async () => {
    const check = new PartCheck();
    const first = await check.identity('car', COMPACT);
    const second = await check.identity('car', compactWith('car.gearbox.final_drive_ratio', 3.9));
    expect(second).toMatchObject({ gearbox: { final_drive_ratio: 3.9 } });
    const shared = Object.entries(second)
      .filter(([key, value]) => typeof value === 'object' && first[key as never] === value)
      .map(([key]) => key);
    expect(shared).toEqual(expect.arrayContaining(['axles', 'electrics', 'engine_table']));
    expect(shared).not.toContain('gearbox');
  });

  it('gives each document the digest that it has by itself', async () => {
    const check = new PartCheck();
    for (const [path, value] of [
      ['car.mass_kg', 1400],
      ['car.mass_kg', 1500],
      ['car.gearbox.ratios.0', 4.5],
      ['car.engine.inertia_kg_m2', 0.14],
      ['car.electrics.load_W', 500],
    ] as const) {
      const document = compactWith(path, value);
      expect(inputHash(await check.identity('car', document))).toBe(
        inputHash((await carFrom(document)).identity),
      );
    }
  });

  it('refuses what is wrong in one section, however often the others were sound', async () => {
    const check = new PartCheck();
    await check.identity('car', COMPACT);
    const wrong = compactWith('car.gearbox.final_drive_ratio', -1);
    for (let i = 0; i < 2; i++) {
      expect(await problemsOf(check.identity('car', wrong))).toMatchObject([
        { code: 'out-of-range', path: 'gearbox.final_drive_ratio', found: '-1' },
      ]);
    }
  });
});
