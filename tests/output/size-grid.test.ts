import { describe, expect, it } from 'vitest';
import { plainPaint } from '../../src/output/paint.ts';
import { sizeGrid } from '../../src/output/size-grid.ts';
import { studyMarkdown } from '../../src/output/study-markdown.ts';
import { studyReport } from '../../src/output/study-report.ts';
import { studyTable } from '../../src/output/study-table.ts';
import { Ranker } from '../../src/study/rank.ts';
import { doneRecord, type Made } from '../study/records.ts';

const ENERGY = 'store.rotor.energy_at_max_kJ';
const POWER = 'store.power_limit_kW';
const FLOOR = 'strategy.coast.floor_pct';
const MASS = 'car.mass_kg';

function reportOf(varied: readonly string[], records: readonly Made[]) {
  const ranker = new Ranker({ varied, cycleShares: null, tolerance: 0.5 });
  for (const record of records) ranker.add(doneRecord(record));
  return studyReport('sizes', 'spinledger 9.9.9', ranker.ranking());
}

const gridOf = (varied: readonly string[], records: readonly Made[]) =>
  sizeGrid(reportOf(varied, records));

/** Fuel of a case: as it is 5, with stop-start 4.8. */
const fuel = (store: number) => [5, 4.8, store] as const;

describe('the least fuel by size of the store', () => {
  it('is, over one size, what any strategy could burn beside the best strategy of the study', () => {
    const records = [100, 200].flatMap((energy) =>
      ['coast', 'recover'].map((strategy) => ({
        strategy,
        varied: { [ENERGY]: energy },
        // Strategy recover is the better one of the small store, coast of the large one.
        fuel: fuel(
          energy === 100 ? (strategy === 'coast' ? 4.6 : 4.5) : strategy === 'coast' ? 4 : 4.2,
        ),
        bound: energy === 100 ? 4.25 : 3.5,
      })),
    );
    expect(gridOf([ENERGY], records)).toMatchObject({
      headers: ['energy_at_max_kJ', 'bound', 'saving', 'with', 'saving', 'strategy', ''],
      // 1 - 4.25/5 = 15 %, 1 - 4.5/5 = 10 %; 1 - 3.5/5 = 30 %, 1 - 4/5 = 20 %.
      rows: [
        ['100', '4.250', '15.00', '4.500', '10.00', 'recover', ''],
        ['200', '3.500', '30.00', '4.000', '20.00', 'coast', ''],
      ],
    });
  });

  it('is, over two sizes, the least of all strategies and of all their numbers', () => {
    const records = [100, 200, 300].flatMap((energy) =>
      [10, 20].flatMap((power) =>
        [5, 50].map((floor) => ({
          varied: { [ENERGY]: energy, [POWER]: power, [FLOOR]: floor },
          // The high floor is the better one with the least store alone.
          fuel: fuel(
            5 - energy / 1000 - power / 100 + ((floor === 50) === (energy === 100) ? 0 : 0.5),
          ),
        })),
      ),
    );
    expect(gridOf([ENERGY, POWER, FLOOR], records)).toMatchObject({
      headers: ['energy_at_max_kJ', '10', '20'],
      rows: [
        ['100', '4.800', '4.700'],
        ['200', '4.700', '4.600'],
        ['300', '4.600', '4.500'],
      ],
    });
  });

  it('is the bound over two sizes where the study asks for it, with a dash where there is no case', () => {
    const records = [
      [100, 10, 4.5],
      [200, 10, 4.4],
      [200, 20, 4.3],
    ].map(([energy, power, bound]) => ({
      varied: { [ENERGY]: energy!, [POWER]: power! },
      fuel: fuel(4.7),
      bound: bound!,
    }));
    const grid = gridOf([ENERGY, POWER], records);
    expect(grid?.words).toContain('any strategy');
    expect(grid?.rows).toEqual([
      ['100', '4.500', '–'],
      ['200', '4.400', '4.300'],
    ]);
  });

  it('is of the car of the best row alone', () => {
    const records = [1400, 1500].flatMap((mass) =>
      [100, 200].flatMap((energy) =>
        [10, 20].map((power) => ({
          varied: { [MASS]: mass, [ENERGY]: energy, [POWER]: power },
          // The heavy car burns more with the store and without, and saves a larger share.
          fuel: mass === 1400 ? fuel(4.7) : ([8, 7.8, 6] as const),
        })),
      ),
    );
    expect(gridOf([MASS, ENERGY, POWER], records)?.rows).toEqual([
      ['100', '6.000', '6.000'],
      ['200', '6.000', '6.000'],
    ]);
  });

  it('names all the numbers that change together with a size', () => {
    const pairs = [
      [100, 40],
      [200, 50],
    ].map(([energy, mass]) => ({ [ENERGY]: energy!, 'store.mass_kg': mass! }));
    const paths = [ENERGY, 'store.mass_kg'];
    const one = gridOf(
      paths,
      pairs.map((varied) => ({ varied, bound: 4 })),
    );
    expect(one?.headers[0]).toBe('energy_at_max_kJ');
    expect(one?.words).toMatch(/ Sizes: energy_at_max_kJ and mass_kg change together\.$/);
    const two = gridOf(
      [...paths, POWER],
      pairs.flatMap((pair) => [10, 20].map((power) => ({ varied: { ...pair, [POWER]: power } }))),
    );
    expect(two?.words).toMatch(
      /: energy_at_max_kJ and mass_kg downwards, power_limit_kW across\.$/,
    );
    const alone = [100, 200].map((energy) => ({ varied: { [ENERGY]: energy }, bound: 4 }));
    expect(gridOf([ENERGY], alone)?.words).not.toContain('together');
  });

  it('is told nowhere of three sizes, of one without the bound, or of none', () => {
    const sizes = [1, 2].flatMap((one) =>
      [1, 2].flatMap((two) => [1, 2].map((three) => [one, two, three])),
    );
    const three = sizes.map(([one, two, mass]) => ({
      varied: { [ENERGY]: one!, [POWER]: two!, 'store.mass_kg': mass! },
    }));
    expect(gridOf([ENERGY, POWER, 'store.mass_kg'], three)).toBeUndefined();
    expect(
      gridOf([ENERGY], [{ varied: { [ENERGY]: 1 } }, { varied: { [ENERGY]: 2 } }]),
    ).toBeUndefined();
    expect(gridOf([], [{ bound: 4 }])).toBeUndefined();
    expect(gridOf([], [])).toBeUndefined();
  });

  it('is left to the files where it is too large for a screen, which is said', () => {
    const sizes = Array.from({ length: 9 }, (_, k) => k + 1);
    const records = sizes.flatMap((energy) =>
      sizes.map((power) => ({ varied: { [ENERGY]: energy, [POWER]: power } })),
    );
    const report = reportOf([ENERGY, POWER], records);
    expect(sizeGrid(report)?.rows).toEqual([]);
    for (const text of [studyTable(report, plainPaint), studyMarkdown(report)]) {
      expect(text).toContain('9 × 9 sizes are more than fit here');
    }
    const fewer = records.filter(({ varied }) => varied[POWER]! <= 8 && varied[ENERGY]! <= 8);
    expect(gridOf([ENERGY, POWER], fewer)?.rows).toHaveLength(8);
  });

  it('stands in Markdown as a table', () => {
    const records = [1, 2].map((energy) => ({ varied: { [ENERGY]: energy }, bound: 4 }));
    expect(studyMarkdown(reportOf([ENERGY], records))).toContain(
      '### Least fuel by size of the store\n\n| energy\\_at\\_max\\_kJ | bound |',
    );
  });
});
