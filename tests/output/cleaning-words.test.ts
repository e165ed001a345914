import { describe, expect, it } from 'vitest';
import { CHANGE_KINDS } from '../../src/cycle/clean-report.ts';
import { CHANGE_WORDS, cleaningLine } from '../../src/output/cleaning-words.ts';
import { loadText } from '../config/drive-files.ts';

describe('the line on a drive that was cleaned', () => {
  it('counts what was done, in words, with what it did to climb and distance', async () => {
    // 1 km at 36 km/h, with a doubled row, a lost one and a spike; the altitude flickers by a metre.
    const rows = Array.from({ length: 101 }, (_, k) => `${k},${k === 50 ? 400 : 36},${k % 2}`);
    rows.splice(70, 1);
    rows.splice(20, 0, rows[20]!);
    const line = cleaningLine(await loadText(`time_s,v_kmh,alt_m\n${rows.join('\n')}\n`));
    // Read as it was, the spike drove another 101 m: 1000 over 1101.1 m.
    expect(line).toMatch(
      /^logs\/monday\.csv cleaned: 1 row of a doubled time stamp, 1 gap bridged, 1 sample of a spike; altitude smoothed, climb 4900 -> \d+ m\/100 km; distance -9\.18 %$/,
    );
  });

  it('says so where there was nothing to change', async () => {
    const drive = await loadText('time_s,v_kmh\n0,36\n1,36\n2,36\n');
    expect(cleaningLine(drive)).toBe('logs/monday.csv cleaned: no fault was found');
  });

  it('is none for a drive that is driven as it stands', async () => {
    expect(cleaningLine(await loadText('time_s,speed_kmh\n0,36\n1,36\n'))).toBeUndefined();
  });

  it('names some of the parts that are no drive, and counts the others', async () => {
    const stops = [0, 100, 200, 300, 400].map((t) => `${t},1\n${t + 1},1\n`).join('');
    const line = cleaningLine(await loadText(`time_s,v_kmh\n${stops}500,36\n501,36\n`));
    expect(line).toContain('5 gaps too long to bridge');
    expect(line).toContain(
      '; 0 to 1 s (0.278 m) left out, too short to be a drive; 100 to 101 s (0.278 m) left out',
    );
    expect(line).toMatch(/; and 2 more such parts$/);
  });

  it('has words for every kind of change', () => {
    const words = CHANGE_KINDS.flatMap((kind) => CHANGE_WORDS[kind]);
    expect(words).toHaveLength(2 * CHANGE_KINDS.length);
    expect(new Set(words).size).toBe(words.length);
  });
});
