import { describe, expect, it } from 'vitest';
import { summaryMarkdown } from '../../src/output/markdown.ts';
import { type Paint, plainPaint } from '../../src/output/paint.ts';
import { summaryTable } from '../../src/output/table.ts';
import { barsOf } from '../../src/output/waterfall-bars.ts';
import { waterfallNotes } from '../../src/output/waterfall-notes.ts';
import { waterfallLines } from '../../src/output/waterfall-table.ts';
import type { Behaviours } from '../../src/strategy/combine.ts';
import { PART_WORDS } from '../../src/summary/waterfall-words.ts';
import { between, seeded } from '../seeded.ts';
import { Worst } from '../within.ts';
import { everyPart, explained } from './explained-case.ts';
import { plainSummary } from './plain-case.ts';

const { summary } = explained(everyPart);
const lines = waterfallLines(summary, plainPaint, 80);
const words = lines.join(' ');

describe('bars round a zero line', () => {
  it('are as long as their values, losses to the left', () => {
    expect(barsOf([2, -1, 0, null, 3.4], 12)).toEqual({
      scale: 0.5,
      bars: ['  |++++', '--|', '  |', '  |', '  |+++++++'],
    });
  });

  it('stand for a round number a character', () => {
    expect(barsOf([10], 11)).toEqual({ scale: 1, bars: ['|++++++++++'] });
    expect(barsOf([10], 10)).toEqual({ scale: 2, bars: ['|+++++'] });
    expect(barsOf([0.0031, -0.0009], 11).scale).toBe(0.0005);
    expect(barsOf([-5000], 6)).toEqual({ scale: 1000, bars: ['-----|'] });
  });

  it('are only the zero line where there is nothing to show', () => {
    expect(barsOf([0, null], 20)).toEqual({ scale: 0, bars: ['|', '|'] });
    expect(barsOf([], 20)).toEqual({ scale: 0, bars: [] });
  });

  it('fit for any values, use half of the room at least, and are off by half a character at most', () => {
    const random = seeded(90_125);
    const [width, short, wrong] = [new Worst(), new Worst(), new Worst()];
    for (let k = 0; k < 2000; k++) {
      const size = 10 ** between(random, -6, 6);
      const values = Array.from({ length: 1 + Math.floor(9 * random()) }, () =>
        between(random, -size, size),
      );
      const { bars, scale } = barsOf(values, 18);
      const at = () => `${values.join(' ')} at ${scale}`;
      const longest = Math.max(...bars.map((bar) => bar.length));
      width.see(longest, at);
      // A step of the scale of 2.5, from one that would not have fitted by the roundings of two sides.
      const span = Math.max(0, ...values) - Math.min(0, ...values);
      short.see(scale / (span / 17), at);
      values.forEach((value, index) => {
        const bar = bars[index]!;
        const shown = (bar.match(/\+/g)?.length ?? 0) - (bar.match(/-/g)?.length ?? 0);
        wrong.see(Math.abs(shown - value / scale), at);
      });
    }
    width.expectAtMost(18);
    short.expectAtMost(2.8);
    wrong.expectAtMost(0.5 + 1e-9);
  });
});

describe('a saving in steps on a terminal', () => {
  it('has a line a step between the car as it is and the whole saving', () => {
    const rows = lines
      .slice(1, 3 + summary.waterfall.length)
      .map((line) => line.slice(2, 25).trim());
    expect(rows).toEqual([
      'car as it is',
      ...summary.waterfall.map(({ step }) => PART_WORDS[step]),
      'whole saving',
    ]);
  });

  it('shows fuel, saving and what is lost without each', () => {
    for (const step of summary.waterfall) {
      const line = lines.find((text) => text.startsWith(`  ${PART_WORDS[step.step]} `));
      expect(line?.match(/-?\d+\.\d+/g)).toEqual([
        step.fuel_L_per_100km.toFixed(3),
        step.saving_pct?.toFixed(2),
        step.without.lost_pct?.toFixed(2).replace(/^-(0\.00)$/, '$1'),
      ]);
    }
    expect(words).toContain(`  ${summary.saving.vs_baseline_pct?.toFixed(2)}`);
  });

  it('lines the zero line of all bars up, with the sign of each saving on its side', () => {
    const bars = lines.slice(2, 2 + summary.waterfall.length);
    expect(new Set(bars.map((line) => line.indexOf('|'))).size).toBe(1);
    bars.forEach((line, index) => {
      const saving = summary.waterfall[index]?.saving_pct ?? 0;
      expect(line.includes('+') ? saving : 1, line).toBeGreaterThan(0);
      expect(line.endsWith('-|') ? saving : -1, line).toBeLessThan(0);
    });
    expect(bars.some((line) => line.endsWith('-|'))).toBe(true);
    expect(bars.some((line) => line.endsWith('+'))).toBe(true);
  });

  it('needs no more than 80 columns and no character beyond ASCII', () => {
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(words).toMatch(/^[ -~]+$/);
  });

  it('stands between the saving and the ledger, and nowhere unless asked for', () => {
    const table = summaryTable(summary, plainPaint);
    expect(table).toContain(`\n\n${lines.join('\n')}\n\nFuel and engine`);
    expect(table.indexOf('against the car with')).toBeLessThan(table.indexOf(lines[0]!));
    expect(waterfallLines(plainSummary, plainPaint, 80)).toEqual([]);
    expect(summaryTable(plainSummary, plainPaint)).not.toContain('Saving in steps');
  });

  it('changes nothing but emphasis when it is painted', () => {
    const mark = (text: string) => `<${text}>`;
    const marked: Paint = { title: mark, strong: mark, faint: mark, warning: mark };
    const painted = waterfallLines(summary, marked, 80);
    expect(painted).not.toEqual(lines);
    expect(painted.map((line) => line.replace(/^<|>$/g, ''))).toEqual(lines);
  });

  it('says that a recovery saves nothing by itself, where there is one', () => {
    const told = 'Recovery alone saves nothing';
    expect(words).toContain(told);
    const without = explained({ stopStart: { delay: 0 } }).summary;
    expect(waterfallLines(without, plainPaint, 80).join(' ')).not.toContain(told);
  });

  it('says that coast recovers by itself, where the strategy coasts', () => {
    const told = 'brakes with the store itself';
    const besides = '"lost without" recovery is only what coast leaves to it';
    const notesOf = (behaviours: Behaviours) => waterfallNotes(explained(behaviours).summary);
    expect(waterfallNotes(summary).join(' ')).toContain(told);
    expect(waterfallNotes(summary).join(' ')).toContain(besides);
    const { coast, recover: _, ...others } = everyPart;
    const alone = notesOf({ ...others, ...(coast && { coast }) }).join(' ');
    expect(alone).toContain(told);
    expect(alone).not.toContain(besides);
    const { coast: __, ...never } = everyPart;
    expect(notesOf(never).join(' ')).not.toContain(told);
  });

  it('says where the saving at standstill counts if the strategy has no stop-start', () => {
    const told =
      /no stop-start in this strategy:.* engine-off coast\. +Stop-start without a store would save \d+\.\d\d %/;
    const { stopStart: _, keepOff: __, ...rest } = everyPart;
    const coasting = waterfallLines(explained(rest).summary, plainPaint, 80).join(' ');
    expect(coasting).toMatch(told);
    const { coast: ___, ...never } = rest;
    const running = waterfallLines(explained(never).summary, plainPaint, 80).join(' ');
    expect(running).not.toContain('no stop-start');
    expect(words).not.toContain('no stop-start');
  });

  it('ends with cautions about its steps as warnings', () => {
    // Without help from the store this car is short of power on this cycle.
    const runs = summary.waterfall.flatMap((step) => [step, step.without]);
    const worst = Math.max(...runs.map(({ shortfall }) => shortfall.pct_of_tractive));
    expect(lines.slice(-2)).toEqual([
      `! Trace not followed: work is short by up to ${worst.toFixed(3)} % of the tractive energy:`,
      '  stop-start, store carried along, recovery, without launch assist.',
    ]);
    const none = { energy_kJ: 0, seconds: 0, pct_of_tractive: 0 };
    const followed = summary.waterfall.map((step) => ({
      ...step,
      shortfall: none,
      without: { ...step.without, shortfall: none },
    }));
    const calm = waterfallLines({ ...summary, waterfall: followed }, plainPaint, 80);
    expect(calm).toEqual(lines.slice(0, -2));
  });

  it('has dashes where the car as it is burns nothing that a share could be taken of', () => {
    const nothing = summary.waterfall.map((step) => ({
      ...step,
      saving_pct: null,
      without: { ...step.without, lost_pct: null },
    }));
    const shown = waterfallLines({ ...summary, waterfall: nothing }, plainPaint, 80);
    expect(shown[3]).toMatch(/store carried along +\d+\.\d{3} +– +– +\|$/);
    expect(shown.join(' ')).not.toContain('One + or -');
  });
});

describe('a saving in steps in Markdown', () => {
  it('is a table of its own behind the balance', () => {
    const text = summaryMarkdown(summary);
    expect(text.indexOf('### Saving in steps')).toBeGreaterThan(text.indexOf('Balanced by'));
    expect(text.indexOf('### Saving in steps')).toBeLessThan(text.indexOf('### Ledger'));
    for (const step of summary.waterfall) {
      const figures = [step.fuel_L_per_100km.toFixed(3), step.saving_pct?.toFixed(2)].join(' | ');
      expect(text).toContain(`| ${PART_WORDS[step.step]} | ${figures} |`);
    }
    expect(summaryMarkdown(plainSummary)).not.toContain('Saving in steps');
  });
});
