import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import {
  type LoggedDrive,
  parseCycle,
  parseDrive,
  type ReadOptions,
  readDrive,
} from '../../src/cycle/read.ts';
import { oneOf, seeded } from '../seeded.ts';
import { cutAtRandom, piecesOf } from './pieces.ts';

const source = { file: 'logs/monday.csv', name: 'monday' };

interface Sample {
  readonly text: string;
  readonly options?: ReadOptions;
}

const COLUMNS = { time: 'Zeit', speed: 'v:Rad:kmh', latitude: 'B' };

/** Good files in all dialects. */
const SAMPLES: readonly Sample[] = [
  { text: 'time_s,speed_kmh\n0,0\n1.5,36\n2.5,40\n3.5,20\n4.5,0\n5.5,0\n' },
  { text: '\uFEFF# é\r\ntime,speed,alt\r\ns,mph,ft\r\n0,1,2\r\n1,2,\r\n"2",3,"4"\r\n' },
  { text: 'time_s,speed_kmh,rpm\ns,km/h,1/min\n0,1,2\n1,2,3\n' },
  {
    text: 't [s];v [km/h];Höhe [m];"a;""b"\n0;0,5;1;x\n1;1,5;2;"y\nz"\n2;2,5;3;\n',
    options: { delimiter: ';', decimal: ',' },
  },
  {
    text: 'time_ms\tlat\tlon\n0\t48\t9\n10\t48.1\t9.1\n\n20\t0\t0\n',
    options: { delimiter: '\t' },
  },
  {
    text: 'timestamp,v_mps,grade_pct\n2024-05-01T08:00:00Z,1,2\n2024-05-01 10:00:01.5+02:00,1,2\n',
  },
  { text: 'time,speed_kn,grade [-]\r8:00:00,1,0.02\r8:00:01,NaN,-0.02\r' },
  {
    text: 'Zeit;v:Rad;A;B\n[s];;;\n0;1;2;3\n1;2;3;4\n',
    options: { delimiter: ';', columns: COLUMNS },
  },
  {
    text: '<?xml version="1.0"?>\n<gpx><trk><trkseg>\n<trkpt lat="48" lon="9"><ele>1</ele><time>2024-05-01T08:00:00Z</time></trkpt>\n<trkpt lat="48.1" lon="9"><time>2024-05-01T08:00:09Z</time><extensions><x:speed>3</x:speed></extensions></trkpt></trkseg><trkseg><trkpt lat="48" lon="9"><time>2024-05-01T07:00:00Z</time></trkpt></trkseg></trk></gpx>',
  },
];

const OPTIONS: readonly ReadOptions[] = [
  {},
  { delimiter: ';' },
  { delimiter: ';', decimal: ',' },
  { delimiter: '\t', decimal: ',' },
  { columns: COLUMNS },
  { decimal: ',' },
];

/** Pieces of tables and of GPX files. */
const PARTS = [
  ...['time_s', 'time', 'speed_kmh', 'speed', 'lat', 'lon', 'alt_m', 'grade [%]', 'Zeit', 'v:Rad'],
  ...['km/h', '[s]', 'm', '0', '1', '2.5', '3,5', '-1e3', '9e999', 'NaN', '8:00:00', '"', '""'],
  ...[',', ';', '\t', '\n', '\r\n', '\r', '#', ' ', '\0', 'é', '\uFEFF', 'sep=;'],
  ...['2024-05-01T08:00:00Z', '<', '>', '/', '<gpx>', '<trk>', '<trkseg>', '</trkseg>', '&amp;'],
  ...['<trkpt lat="1" lon="2">', '</trkpt>', '<time>', '</time>', '<ele>', '</ele>', '<![CDATA['],
];

const encoder = new TextEncoder();

interface Input {
  readonly bytes: Uint8Array;
  readonly options: ReadOptions;
}

function randomInput(random: () => number): Input {
  if (random() < 0.1) {
    const bytes = Uint8Array.from({ length: Math.floor(200 * random()) }, () => 256 * random());
    return { bytes, options: {} };
  }
  if (random() < 0.3) {
    let text = random() < 0.5 ? '' : 'time_s,speed_kmh\n';
    for (let part = 0; part < 40 * random(); part++) text += oneOf(random, PARTS);
    return { bytes: encoder.encode(text), options: oneOf(random, OPTIONS) };
  }
  const { text, options = {} } = oneOf(random, SAMPLES);
  return {
    bytes: changed(encoder.encode(text), random),
    options: random() < 0.9 ? options : oneOf(random, OPTIONS),
  };
}

/** A few bytes replaced, taken out, doubled or put in. */
function changed(bytes: Uint8Array, random: () => number): Uint8Array {
  const list = Array.from(bytes);
  for (let change = 0; change < 1 + 3 * random(); change++) {
    const at = Math.floor(list.length * random());
    const part = Array.from(encoder.encode(oneOf(random, PARTS)));
    const digit = 48 + Math.floor(10 * random());
    switch (Math.floor(6 * random())) {
      case 0:
        list[at] = Math.floor(256 * random());
        break;
      case 1:
        list.splice(at, Math.floor(20 * random()));
        break;
      case 2:
        list.splice(at, 0, ...list.slice(at, at + Math.floor(30 * random())));
        break;
      case 3:
        list.splice(at, 0, ...part);
        break;
      default:
        list[at] = digit;
    }
  }
  return Uint8Array.from(list);
}

/** A drive that was read, or the problems for which it was not. */
type Outcome = LoggedDrive | InputError;

async function outcomeOf(pieces: readonly Uint8Array[], options: ReadOptions): Promise<Outcome> {
  try {
    return await readDrive(piecesOf(pieces), source, options);
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
}

/** What is unsound about an outcome, for there must be no such thing. */
function unsound(outcome: Outcome): string | undefined {
  if (outcome instanceof InputError) {
    let line = 0;
    for (const problem of outcome.problems) {
      if (problem.expected === '' || problem.code === '') return 'a problem says nothing';
      if (problem.file !== source.file && problem.code !== 'conflicting-options') return 'no file';
      if (problem.line !== undefined && problem.line < line) return 'problems out of order';
      line = problem.line ?? line;
    }
    const count = outcome.problems.length;
    return count < 1 || count > 21 ? 'no problem, or too many' : undefined;
  }
  const { time, speed, altitude, grade, line } = outcome.drive;
  const columns = [time, speed, altitude, grade].filter((column) => column !== undefined);
  if (time.length < 2) return 'fewer than two rows';
  if (columns.some((column) => column.length !== time.length || column.some(isInfinite))) {
    return 'columns of different length, or infinite values';
  }
  if (line.length !== time.length) return 'rows without a line';
  return outcome.report.rows === time.length ? undefined : 'a wrong count';
}

function isInfinite(value: number): boolean {
  return Math.abs(value) === Number.POSITIVE_INFINITY;
}

describe('whatever bytes a file holds', () => {
  it('the samples are good', async () => {
    for (const { text, options } of SAMPLES) {
      const outcome = await outcomeOf([encoder.encode(text)], options ?? {});
      expect(outcome, text).not.toBeInstanceOf(InputError);
    }
  });

  it('100 000 inputs each make a drive or an input error, and nothing else', async () => {
    const random = seeded(61);
    const found = new Map<string, number>();
    let drives = 0;
    for (let trial = 0; trial < 100_000; trial++) {
      const { bytes, options } = randomInput(random);
      const outcome = await outcomeOf([bytes], options);
      const fault = unsound(outcome);
      if (fault !== undefined) {
        expect.fail(`${fault}: ${JSON.stringify([new TextDecoder().decode(bytes), options])}`);
      }
      if (outcome instanceof InputError) {
        for (const { code } of outcome.problems) found.set(code, (found.get(code) ?? 0) + 1);
      } else {
        drives++;
      }
    }
    // If no input were good, or all, or all bad in the same way, little would have been tested.
    expect(drives).toBeGreaterThan(2000);
    expect(drives).toBeLessThan(50_000);
    for (const code of [
      ...['broken-quotes', 'broken-xml', 'cell-count', 'conflicting-columns'],
      ...['empty-file', 'missing-column', 'missing-header', 'missing-time', 'missing-unit'],
      ...['no-zone', 'not-a-number', 'not-a-time', 'not-gpx', 'not-text', 'out-of-range'],
      ...['too-few-rows', 'unknown-column', 'unknown-unit', 'wrong-delimiter'],
    ]) {
      expect(found.get(code), code).toBeGreaterThan(0);
    }
  });

  it('cycles are read or refused likewise', () => {
    const random = seeded(62);
    let cycles = 0;
    for (let trial = 0; trial < 10_000; trial++) {
      const { bytes, options } =
        random() < 0.5
          ? randomInput(random)
          : { bytes: changed(encoder.encode(SAMPLES[0]!.text), random), options: {} };
      const text = new TextDecoder().decode(bytes);
      try {
        const { time, speed } = parseCycle(text, source, options);
        cycles++;
        if (!time.every((t, k) => k === 0 || t > time[k - 1]!)) expect.fail(`times of ${text}`);
        if (!speed.every((v) => v >= 0 && v < 139)) expect.fail(`speeds of ${text}`);
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
      }
    }
    expect(cycles).toBeGreaterThan(50);
  });

  it('the pieces in which it comes change nothing, nor whether they are bytes or text', async () => {
    const random = seeded(63);
    let drives = 0;
    for (let trial = 0; trial < 3000; trial++) {
      const { text, options = {} } = oneOf(random, SAMPLES);
      const bytes = random() < 0.2 ? encoder.encode(text) : changed(encoder.encode(text), random);
      const whole = await outcomeOf([bytes], options);
      const cut = await outcomeOf(cutAtRandom(bytes, random), options);
      const singles = await outcomeOf(
        Array.from(bytes, (byte) => Uint8Array.of(byte)),
        options,
      );
      expect(cut).toEqual(whole);
      expect(singles).toEqual(whole);
      if (!(whole instanceof InputError)) drives++;
    }
    expect(drives).toBeGreaterThan(600);
  });

  it('a text cut anywhere, characters of two parts included, is the same drive', async () => {
    const text = '# 😀\ntime_s,"v😀",é\n0,1,2\n1,2,3\n';
    const options = { columns: { speed: 'v😀:kmh', altitude: 'é:m' } };
    const whole = parseDrive(text, source, options);
    expect([...whole.drive.altitude!]).toEqual([2, 3]);
    for (let at = 0; at <= text.length; at++) {
      const pieces = [text.slice(0, at), '', text.slice(at)];
      expect(await readDrive(piecesOf(pieces), source, options)).toEqual(whole);
    }
  });
});
