import { describe, expect, it } from 'vitest';
import { type Paint, plainPaint } from '../../src/output/paint.ts';
import { summaryTable } from '../../src/output/table.ts';
import { plainResult, plainSummary, summaryOf } from './plain-case.ts';

const text = summaryTable(plainSummary, plainPaint);
const lines = text.split('\n');

describe('the table of a summary', () => {
  it('fits one screen of 60 lines and 80 columns', () => {
    expect(lines.length - 1).toBeLessThanOrEqual(60);
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(lines.at(-1)).toBe('');
  });

  it('has no blanks at the ends of its lines', () => {
    expect(lines.filter((line) => line !== line.trimEnd())).toEqual([]);
  });

  it('leads with fuel, then saving, ledger and missed recovery', () => {
    const at = (words: string) => {
      const index = lines.findIndex((line) => line.includes(words));
      expect(index, words).toBeGreaterThanOrEqual(0);
      return index;
    };
    expect(at('L/100 km')).toBeLessThan(5);
    const order = ['L/100 km', '  with the store', 'Saving', 'Balanced by', 'engine heat'];
    const places = [...order, 'Braking energy', 'Engine:'].map(at);
    expect(places).toEqual(places.toSorted((a, b) => a - b));
  });

  it('prints the figures of the summary', () => {
    const { fuel, saving } = plainSummary;
    expect(text).toContain(fuel.store_L_per_100km.toFixed(3));
    expect(text).toContain(fuel.baseline_co2_g_per_km.toFixed(2));
    expect(text).toContain(`${saving.vs_stop_start_pct?.toFixed(2)} % against the car with`);
    expect(text).toContain(plainSummary.ledger.store.rotor_drag_kJ.toFixed(1));
  });

  it('keeps the ledger in two halves, with what balances the charge in the fuel that counts', () => {
    const { slope_correction_kJ: added } = plainSummary.ledger.fuel;
    const line = text.split('\n').find((one) => one.startsWith('    + charge balance '))!;
    expect(line.slice(23, 32)).toBe(added.toFixed(1).padStart(9));
    expect(line.slice(42)).toMatch(/^in {2}from braking /);
    expect(text).not.toContain('slope');
  });

  it('says how the saving is balanced and that the residual is not corrected for', () => {
    const { laps, residual_pct_of_fuel_energy: residual } = plainSummary.saving.balance;
    expect(text).toContain(`after ${laps} laps`);
    expect(text.replaceAll('\n', ' ')).toContain(
      `${Math.abs(residual ?? Number.NaN).toFixed(4)} % of the fuel energy`,
    );
    expect(text.replaceAll('\n', ' ')).toContain('not corrected for');
  });

  it('keeps its columns apart where a drive downhill burns next to nothing', () => {
    const { ledger } = plainSummary;
    const downhill = {
      ...plainSummary,
      ledger: {
        ...ledger,
        fuel: { ...ledger.fuel, total_kJ: 100 },
        wheel: { ...ledger.wheel, grade_kJ: -2360.9, friction_brakes_kJ: 1870.2 },
      },
    };
    const shown = summaryTable(downhill, plainPaint);
    expect(shown).toMatch(/out grade +-2360\.9 -2361$/m);
    expect(shown).toMatch(/out friction brakes +1870\.2 {2}1870$/m);
  });

  it('spells limits out for people', () => {
    expect(text).toContain('missed: brake share of the axle');
    expect(text).not.toMatch(/brake_share|spin_loss/);
  });

  it('changes nothing but emphasis when it is painted', () => {
    const mark = (name: string) => (part: string) => `<${name}>${part}</${name}>`;
    const marked: Paint = {
      title: mark('t'),
      strong: mark('s'),
      faint: mark('f'),
      warning: mark('w'),
    };
    const painted = summaryTable(plainSummary, marked);
    expect(painted).not.toBe(text);
    const bare = painted
      .replace(/<\/?[tsfw]>/g, '')
      .split('\n')
      .map((line) => line.trimEnd());
    expect(bare).toEqual(lines);
  });

  it('puts warnings last, each on lines of its own', () => {
    const nothing = { ...plainResult.baseline, fuel: 0 };
    const summary = summaryOf({ ...plainResult, baseline: nothing });
    const warned = summaryTable(summary, plainPaint);
    expect(warned).toMatch(/\n\n! A car without the store burns no fuel [^!]+\n {2}stated\.\n$/);
    expect(warned).toMatch(/Saving +– % against the car as it is/);
  });
});
