import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadCycle } from '../../src/config/load.ts';
import type { DriveOptions } from '../../src/config/load-drive.ts';
import { DEFAULT_RULES } from '../../src/cycle/clean-rules.ts';
import { distance, duration } from '../../src/cycle/trace.ts';
import { EXAMPLES, folderWith, problemsOf } from './drafts.ts';
import { tableOf } from './drive-files.ts';

const HILLS = join(EXAMPLES, 'cycles/town-hills.csv');

describe('a composition of cycles', () => {
  it('is one trace of all its parts, named as it was written', async () => {
    const udds = (await loadCycle('udds')).value;
    const nycc = (await loadCycle('nycc')).value;
    const both = await loadCycle(`2*udds + nycc + ${HILLS}[0..600]`);
    expect(both.name).toBe(`2*udds + nycc + ${HILLS}[0..600]`);
    expect(duration(both.value)).toBe(2 * duration(udds) + duration(nycc) + 600);
    expect(both.drives.map(({ form, name }) => [form, name])).toEqual([
      ['built-in', 'udds'],
      ['built-in', 'nycc'],
      ['plain', 'town-hills'],
    ]);
  });

  it('cleans what of it is a log, and nothing else', async () => {
    const folder = folderWith({ 'log.csv': 'time_s,v [km/h]\n0,0\n1,9\n1,9\n2,0\n' });
    const { drives } = await loadCycle(`udds + ${join(folder, 'log.csv')}`);
    expect(drives.map(({ cleaning }) => cleaning?.counts['duplicate-time'])).toEqual([
      undefined,
      1,
    ]);
  });

  it('names itself where it cannot be understood or does not fit together', async () => {
    expect(await problemsOf(loadCycle('2*udds + '))).toMatchObject([
      { code: 'composition', file: '2*udds + ', path: 'character 10' },
    ]);
    expect(await problemsOf(loadCycle('udds[0..200] + udds'))).toMatchObject([
      { code: 'seam', file: 'udds[0..200] + udds' },
    ]);
    expect(await problemsOf(loadCycle('udds[0..2000]'))).toMatchObject([
      { code: 'out-of-range', file: 'udds[0..2000]' },
    ]);
  });

  it('names the problems of all its files', async () => {
    const problems = await problemsOf(loadCycle('uds + 2*./no-such.csv + uds'));
    expect(problems).toMatchObject([
      { code: 'unknown-cycle', file: 'uds', hint: 'did you mean `udds`?' },
      { code: 'no-file', file: './no-such.csv' },
    ]);
  });

  it('is none where a file bears that very name', async () => {
    const folder = folderWith({ 'a [1..2].csv': 'time_s,speed_kmh\n0,0\n9,9\n' });
    const { name, value } = await loadCycle(join(folder, 'a [1..2].csv'));
    expect(name).toBe('a [1..2]');
    expect(duration(value)).toBe(9);
  });
});

describe('what a cycle is known by', () => {
  async function identityOf(text: string, options?: DriveOptions): Promise<unknown> {
    return (await loadCycle(text, options)).identity;
  }

  it('is the drive, not the name, the place or the words that lead to it', async () => {
    const folder = folderWith({});
    const copy = join(folder, 'other.csv');
    cpSync(HILLS, copy);
    const hills = await identityOf(HILLS);
    expect(await identityOf(copy)).toEqual(hills);
    expect(await identityOf(`1*${copy}`)).toEqual(hills);
    expect(await identityOf('udds[0..1369]')).toEqual(await identityOf('udds'));
    expect(await identityOf('2*udds')).toEqual(await identityOf('udds + udds'));
    expect(await identityOf('2*udds')).not.toEqual(await identityOf('udds'));
  });

  it('is the same for the same numbers in another dialect', async () => {
    const rows = Array.from({ length: 50 }, (_, k) => [k, 36 + (k % 7), 100 + k / 4]);
    const folder = folderWith({
      'a.csv': tableOf('time_s,v [km/h],alt_m', rows),
      'b.csv': tableOf('time_s,v [km/h],alt_m', rows).replaceAll(',', ';').replaceAll('.', ','),
    });
    const a = await identityOf(join(folder, 'a.csv'));
    const read = { delimiter: ';', decimal: ',' } as const;
    expect(await identityOf(join(folder, 'b.csv'), { read })).toEqual(a);
  });

  it('changes with every option that changes the trace, and with no other', async () => {
    // Uneven enough for each rule: a creep, a gap of 5 s, noise on speed and altitude, a spike.
    const rows = Array.from({ length: 60 }, (_, k) => {
      const speed = k < 5 || k > 55 ? 0.5 : k === 30 ? 120 : 36 + (k % 3);
      return [k < 20 ? k : k + 4, speed, 100 + (k % 2)];
    });
    const folder = folderWith({ 'log.csv': tableOf('time_s,v [km/h],alt_m', rows) });
    const file = join(folder, 'log.csv');
    const { gaps, standstill } = DEFAULT_RULES;
    if (gaps === 'off' || standstill === 'off') throw new Error('the defaults have changed');
    const bridged = { gaps: { ...gaps, bridge: 10 } };
    const base = await identityOf(file, { rules: bridged });
    for (const rules of [
      { spikes: 'off' },
      { standstill: { ...standstill, drives: 'all' } },
      { resampling: { step: 0.5 } },
      { resampling: { step: 1 }, smoothing: 't4253h' },
    ] as const) {
      const other = await identityOf(file, { rules: { ...bridged, ...rules } });
      expect(other, JSON.stringify(rules)).not.toEqual(base);
    }
    const columns = { speed: 'v [km/h]' };
    expect(await identityOf(file, { rules: bridged, read: { columns } })).not.toEqual(base);
    const wider = { gaps: { ...gaps, bridge: 11 } };
    expect(await identityOf(file, { rules: wider })).toEqual(base);
    expect(await identityOf(file, { rules: bridged, clean: true })).toEqual(base);
  });
});

describe('the hash of a trace', () => {
  it('goes by every column of it', async () => {
    const folder = folderWith({
      'flat.csv': 'time_s,speed_kmh\n0,9\n1,9\n',
      'slope.csv': 'time_s,speed_kmh,grade_pct\n0,9,1\n1,9,1\n',
      'later.csv': 'time_s,speed_kmh\n1,9\n2,9\n',
    });
    const all = await Promise.all(
      ['flat', 'slope', 'later'].map((name) => loadCycle(join(folder, `${name}.csv`))),
    );
    expect(all.map(({ value }) => distance(value))).toEqual([2.5, 2.5, 2.5]);
    expect(new Set(all.map(({ identity }) => JSON.stringify(identity))).size).toBe(3);
  });
});

describe('a cycle that a file names', () => {
  const CYCLE = 'time_s,speed_kmh\n0,0\n10,36\n20,0\n';

  it('is found from the folder of that file', async () => {
    const folder = folderWith({ 'mine.csv': CYCLE, udds: CYCLE, bare: CYCLE });
    const lengths = async (text: string) => duration((await loadCycle(text, {}, folder)).value);
    expect(await lengths('2*mine.csv + bare')).toBe(60);
    expect(await lengths(join(folder, 'mine.csv'))).toBe(20);
    expect(await lengths('./udds')).toBe(20);
    expect(await lengths('nycc')).toBe(duration((await loadCycle('nycc')).value));
  });

  it('is told by its path, and a name that is none by the names there are', async () => {
    const folder = folderWith({ 'bad.csv': 'time_s,speed_kmh\n0,0\n10,-3\n20,0\n' });
    expect(await problemsOf(loadCycle('bad.csv', {}, folder))).toMatchObject([
      { code: 'negative-speed', file: join(folder, 'bad.csv'), line: 3 },
    ]);
    expect(await problemsOf(loadCycle('uds', {}, folder))).toMatchObject([
      { code: 'unknown-cycle', file: 'uds', hint: 'did you mean `udds`?' },
    ]);
  });
});
