import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder, ROOT, spinledger, temporaryFolder } from './program.ts';

type Json = Record<string, unknown>;

function example(path: string): Json {
  return JSON.parse(readFileSync(join(ROOT, 'examples', path), 'utf8'));
}

const estate = () => example('cars/estate.json');
const rim = () => example('stores/rim-45.json');
const plugIn = { name: 'own', plugin: { module: './own.mjs' } };

/** One way to get an input wrong, and what the message has to say about it. */
interface Slip {
  readonly slip: string;
  /** Files of the user, JSON where it is no text */
  readonly files: Readonly<Record<string, string | Json>>;
  readonly args: readonly string[];
  /** In the message, in this order */
  readonly told: readonly (string | RegExp)[];
}

const SLIPS: readonly Slip[] = [
  {
    slip: 'an unknown key of a car',
    files: { 'car.json': { ...estate(), tire_radius_m: 0.3 } },
    args: ['--car', 'car.json'],
    told: [/^car\.json:\d+: tire_radius_m: /, 'found 0.3', 'did you mean `tyre_radius_m`?'],
  },
  {
    slip: 'a unit that is another',
    files: { 'store.json': { ...rim(), power_limit_W: 45_000 } },
    args: ['--store', 'store.json'],
    told: [/^store\.json:\d+: power_limit_W: /, 'did you mean `power_limit_kW`?'],
  },
  {
    slip: 'a value out of range',
    files: { 'car.json': { ...estate(), mass_kg: 1.7 } },
    args: ['--car', 'car.json'],
    told: [/^car\.json:\d+: mass_kg: found 1\.7, expected /],
  },
  {
    slip: 'a number that is a text',
    files: { 'store.json': { ...rim(), mass_kg: '45' } },
    args: ['--store', 'store.json'],
    told: [/^store\.json:\d+: mass_kg: found "45", expected /],
  },
  {
    slip: 'a text that is no JSON',
    files: { 'car.json': '{\n  "name": "x",\n}\n' },
    args: ['--car', 'car.json'],
    told: [/^car\.json:3: /, 'hint: '],
  },
  {
    slip: 'a missing column',
    files: { 'drive.csv': 'time_s,grade_pct\n0,0\n1,0\n' },
    args: ['--cycle', 'drive.csv'],
    told: [/^drive\.csv:1: /, 'speed_kmh'],
  },
  {
    slip: 'a header that stands twice',
    files: { 'drive.csv': 'time_s,speed_kmh,speed_kmh\n0,0,0\n1,9,9\n' },
    args: ['--cycle', 'drive.csv'],
    told: [/^drive\.csv:1: speed_kmh: /, 'once'],
  },
  {
    slip: 'a time that goes backwards',
    files: { 'drive.csv': 'time_s,speed_kmh\n0,0\n2,9\n1,18\n' },
    args: ['--cycle', 'drive.csv'],
    told: [/^drive\.csv:4: time_s: found 1, expected a time later than 2/],
  },
  {
    slip: 'a cell that is not a number',
    files: { 'drive.csv': 'time_s,speed_kmh\n0,0\n1,NaN\n2,9\n' },
    args: ['--cycle', 'drive.csv'],
    told: [/^drive\.csv:3: speed_kmh: found NaN, expected /],
  },
  {
    slip: 'an empty file',
    files: { 'drive.csv': '' },
    args: ['--cycle', 'drive.csv'],
    told: [/^drive\.csv: found an empty file/],
  },
  {
    slip: 'a folder in the place of a file',
    files: { 'cars/x.json': {} },
    args: ['--car', './cars'],
    told: [/^\.?\/?cars: found a folder, expected a car file/],
  },
  {
    slip: 'a file that is not there',
    files: { 'estate.json': estate() },
    args: ['--car', 'estat.json'],
    told: [/^estat\.json: found no such file/, 'did you mean `estate.json`?'],
  },
  {
    slip: 'a path below a file',
    files: { 'car.json': estate() },
    args: ['--car', 'car.json/engine.json'],
    told: [/^car\.json\/engine\.json: found no such file/],
  },
  {
    slip: 'a cycle that is not known',
    files: {},
    args: ['--cycle', 'utds'],
    told: ['utds', 'did you mean `udds`?'],
  },
  {
    slip: 'a strategy that is not known',
    files: {},
    args: ['--strategy', 'coats'],
    told: [/^coats: found no strategy/, 'did you mean `coast`?'],
  },
  {
    slip: 'a plug-in that throws',
    files: {
      'own.json': plugIn,
      'own.mjs':
        'export default () => ({ decide(see) { if (see.time > 20) throw new Error("oh\\nno"); } });',
    },
    args: ['--strategy', 'own.json'],
    told: [/^own\.mjs(:1)?: decide at 21 s: found Error: oh, expected /],
  },
  {
    slip: 'a plug-in that answers NaN',
    files: {
      'own.json': plugIn,
      'own.mjs': 'export default () => ({ decide(see, want) { want.storePower = 0 / 0; } });',
    },
    args: ['--strategy', 'own.json'],
    told: [/^strategy own .*at 0 s, storePower: found NaN, expected a finite number of watts/],
  },
  {
    slip: 'a plug-in that leaves the envelope',
    files: {
      'own.json': plugIn,
      'own.mjs': 'export default () => ({ decide(see, want) { want.storePower = 1e6; } });',
    },
    args: ['--strategy', 'own.json'],
    told: [/storePower: found 1000000 W, expected .* within the envelope/, 'hint: '],
  },
  {
    slip: 'a plug-in that is no module',
    files: { 'own.json': plugIn, 'own.mjs': 'export default (\n' },
    args: ['--strategy', 'own.json'],
    told: [/^own\.mjs.*found SyntaxError/],
  },
  {
    slip: 'a plug-in that exports nothing',
    files: { 'own.json': plugIn, 'own.mjs': 'export const x = 1;\n' },
    args: ['--strategy', 'own.json'],
    told: [/^own\.mjs: found no default export/],
  },
];

function write(folder: string, files: Slip['files']): void {
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    const text = typeof content === 'string' ? content : JSON.stringify(content, null, 2);
    writeFileSync(join(folder, name), text);
  }
}

describe('run with an input that cannot be used', () => {
  it.each(SLIPS)('names $slip', ({ files, args, told }) => {
    const folder = temporaryFolder();
    write(folder, files);
    const before = filesUnder(folder);
    const { stdout, stderr } = spinledger(2, ['run', ...args, '--log', 'log.csv'], { cwd: folder });
    let rest = stderr.replace(/^Taken from the shipped example.*\n/, '');
    for (const part of told) {
      const at = typeof part === 'string' ? rest.indexOf(part) : rest.search(part);
      expect(at, `${part} in ${stderr}`).toBeGreaterThanOrEqual(0);
      if (typeof part === 'string') rest = rest.slice(at + part.length);
    }
    expect(stdout).toBe('');
    expect(stderr).not.toMatch(/^\s+at .*:\d+/m);
    expect(stderr).not.toContain('defect');
    expect(stderr.split('\n').length, stderr).toBeLessThanOrEqual(4);
    expect(filesUnder(folder)).toEqual(before);
  });

  it('names the problems of all inputs at once', () => {
    const folder = temporaryFolder();
    write(folder, { 'car.json': { ...estate(), mass_kg: -1 }, 'drive.csv': 'time_s\n' });
    const { stderr } = spinledger(2, ['run', '--car', 'car.json', '--cycle', 'drive.csv'], {
      cwd: folder,
    });
    expect(stderr).toMatch(/^car\.json:\d+: mass_kg: /m);
    expect(stderr).toMatch(/^drive\.csv:1: /m);
  });

  it.skipIf(process.getuid?.() === 0)('names a file that may not be read', () => {
    const folder = temporaryFolder();
    write(folder, { 'car.json': estate() });
    chmodSync(join(folder, 'car.json'), 0o000);
    const { stderr } = spinledger(2, ['run', '--car', 'car.json'], { cwd: folder });
    expect(stderr).toMatch(/^car\.json: found a file that may not be read/);
  });

  it('refuses a log that would take the place of an input', () => {
    const folder = temporaryFolder();
    const drive = 'time_s,speed_kmh\n0,0\n10,30\n20,0\n';
    write(folder, { 'drive.csv': drive });
    const args = ['run', '--cycle', 'drive.csv', '--log', './drive.csv'];
    const { stderr } = spinledger(2, args, { cwd: folder });
    expect(stderr).toMatch(
      /^--log: found \.\/drive\.csv, an input of this command, expected another/,
    );
    expect(readFileSync(join(folder, 'drive.csv'), 'utf8')).toBe(drive);
  });
});

describe('run with options that cannot be used', () => {
  it.each([
    [['--format', 'xml'], "argument 'xml' is invalid. Allowed choices are table, json"],
    [['--tolerance', '-1'], 'Expected a number from 0 to 100 (%).'],
    [['--tolerance', '1,5'], 'Expected a number from 0 to 100 (%).'],
    [['--tolerance', ''], 'Expected a number from 0 to 100 (%).'],
    [['--log', 'x.csv', '--log-step', '0'], 'Expected a number from 0.001 to 86400 (seconds).'],
    [['--log-step', '1'], "add '--log FILE'"],
    [['--log', '-'], "add '--format none'"],
    [['--log', '-', '--format', 'json'], "add '--format none'"],
    [['--sotre', 'x.json'], '(Did you mean --store?)'],
    [['--store'], "option '--store <file>' argument missing"],
    [['car.json'], 'too many arguments'],
  ])('says what is wrong with %j', (args, told) => {
    const folder = temporaryFolder();
    const { stdout, stderr } = spinledger(2, ['run', ...args], { cwd: folder });
    expect(stderr).toContain(told);
    expect(stderr).toMatch(/spinledger run --help says more\.\n$/);
    expect(stdout).toBe('');
    expect(filesUnder(folder)).toEqual([]);
  });
});
