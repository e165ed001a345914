import { copyFileSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT, shell, spinledger, temporaryFolder } from './program.ts';

const OWN = ['rotor', '--energy', '540', '--speed', '60000', '--radius', '0.12'] as const;

const json = (...args: string[]) =>
  JSON.parse(spinledger(0, ['rotor', '--format', 'json', ...args]).stdout);

describe('rotor', () => {
  it('has an example in its help that runs as printed, in lines that fit', () => {
    const help = spinledger(0, ['rotor', '--help']).stdout;
    const line = /^ {2}npx (spinledger .*)$/m.exec(help)?.[1];
    expect(shell(line ?? 'false').status).toBe(0);
    expect(help).toContain('Exit status: 0 done');
    for (const text of help.split('\n')) expect(text.length).toBeLessThanOrEqual(96);
  });

  it('leads with the caution, in every format', () => {
    const table = spinledger(0, ['rotor']).stdout;
    expect(table).toMatch(/^! A rotor at such speeds can burst\. /);
    for (const line of table.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(spinledger(0, ['rotor', '--format', 'json']).stdout).toMatch(
      /^\{\n {2}"caution": "A rotor at such speeds can burst\./,
    );
    expect(spinledger(0, ['rotor', '--format', 'markdown']).stdout).toMatch(
      /^\*\*A rotor at such speeds can burst\./,
    );
    expect(spinledger(0, ['rotor', '--format', 'csv']).stdout).toMatch(
      /^caution,.*\n"A rotor at such speeds can burst\./,
    );
  });

  it('writes its tables for a spreadsheet with decimal commas, and refuses the wish where there are none', () => {
    const { stdout } = spinledger(0, [
      'rotor',
      '--format',
      'none',
      '--spin-down',
      '-',
      '--decimal',
      ',',
    ]);
    const [header, first] = stdout.split('\n');
    expect(header).toBe('time_s;rotor_speed_rpm;energy_kJ;drag_power_W');
    expect(first).toMatch(/^0;60000;340;\d+,\d+$/);
    const figures = spinledger(0, ['rotor', '--format', 'csv', '--decimal', ',']).stdout;
    expect(figures).toMatch(/;\d+,\d+;/);
    expect(spinledger(2, ['rotor', '--decimal', ',']).stderr).toContain("add '--format csv'");
  });

  it('says what a burst is as a car: ½ m v² and m g h', () => {
    const { burst, rotor } = json('--car', 'saloon', '--store', 'rim-60');
    expect(burst.energy_kJ).toBeCloseTo(540, 9);
    expect(burst.car_mass_kg).toBe(1900);
    expect(0.5 * 1900 * (burst.as_car_at_kmh / 3.6) ** 2).toBeCloseTo(540_000, 3);
    expect(burst.as_car_falling_m).toBeCloseTo(540_000 / 1900 / 9.80665, 9);
    expect(rotor.usable_energy_kJ).toBeCloseTo(480, 9);
    expect(spinledger(0, ['rotor', '--store', 'rim-60', '--car', 'saloon']).stdout).toContain(
      'as much as a car of 1900 kg at\n85.8 km/h',
    );
  });

  it('makes a rotor of energy, speed and radius, and the same one of its mass', () => {
    const byRadius = json(...OWN.slice(1));
    const { mass_kg: mass, rim_speed_m_per_s: rim, mach } = byRadius.rotor;
    expect(rim).toBeCloseTo(0.12 * 2000 * Math.PI, 9);
    expect(mach).toBeCloseTo(rim / 343.2, 2);
    // A ring: E = ½ m v².
    expect(0.5 * mass * rim * rim).toBeCloseTo(540_000, 3);
    const byMass = json('--energy', '540', '--speed', '60000', '--mass', String(mass));
    expect(byMass.rotor.radius_m).toBeCloseTo(0.12, 9);
    const byBody = json('--speed', '60000', '--mass', String(mass), '--radius', '0.12');
    expect(byBody.rotor.energy_at_max_kJ).toBeCloseTo(540, 6);
    expect(byBody.stress.hoop_MPa).toBeCloseTo((1550 * rim * rim) / 1e6, 6);
  });

  it('takes the shape and material it is told', () => {
    const args = ['--speed', '20000', '--mass', '20', '--radius', '0.15', '--material', 'steel'];
    const disc = json(...args, '--shape', 'disc');
    expect(disc.stress.hoop_MPa).toBeCloseTo(319.59, 1);
    expect(disc.stress.energy_density_limit_Wh_per_kg).toBeCloseTo(
      (2 / 3.3) * (1100e6 / 7850 / 3600),
      6,
    );
    const bored = json(...args, '--shape', 'bored', '--bore', '0.3333333333');
    expect(bored.stress.hoop_MPa).toBeCloseTo(654.25, 1);
    const weak = json(...args, '--shape', 'disc', '--strength', '300');
    expect(weak.warnings.join(' ')).toContain('fails below its greatest speed');
    expect(weak.stress.limit_speed_rpm).toBeLessThan(20_000);
    const wound = json('--speed', '9000', '--mass', '5', '--radius', '0.1', '--shape', 'disc');
    expect(wound.warnings.join(' ')).toContain('weak across its fibres');
  });

  it('asks for a ratio from the empty rotor at the fastest to the full one at the slowest', () => {
    const { ratio } = json('--store', 'rim-60', '--car', 'saloon', '--from-speed', '30');
    const axle = (kmh: number) => kmh / 3.6 / 0.325;
    const [low, high] = [(2000 * Math.PI) / 3 / axle(120), (2000 * Math.PI) / axle(30)];
    expect(ratio.needed_low).toBeCloseTo(low, 9);
    expect(ratio.needed_high).toBeCloseTo(high, 9);
    expect(ratio.needed_high_at_final_drive).toBeCloseTo(high / 2.9, 9);
    expect(axle(ratio.full_without_slip.from_kmh) * 300).toBeCloseTo(2000 * Math.PI, 6);
    expect(axle(ratio.empty_without_slip.to_kmh) * 50).toBeCloseTo((2000 * Math.PI) / 3, 6);
  });

  it('says what is not known of a rotor instead of guessing it', () => {
    const { rotor, stress, windage, warnings } = json('--store', 'rim-60');
    expect([rotor.radius_m, rotor.mass_kg, rotor.mach, stress.hoop_MPa, windage]).toEqual(
      Array(5).fill(null),
    );
    expect(warnings.join(' ')).toContain('--radius or --mass');
    expect(json('--store', 'rim-60', '--radius', '0.11').rotor.rim_speed_m_per_s).toBeCloseTo(
      691,
      0,
    );
  });

  it('notices a body that cannot have the inertia', () => {
    const args = ['--energy', '540', '--speed', '60000', '--radius', '0.08', '--length', '0.02'];
    const { warnings } = json(...args, '--gap', '5', '--pressure', '10');
    expect(warnings.join(' ')).toContain('No cylinder of 80.0 mm radius and 20.0 mm length');
  });
});

describe('the curves of a rotor', () => {
  it('are written where they are told to, and agree with the figures', () => {
    const folder = temporaryFolder();
    const [spin, wind] = [join(folder, 'spin.csv'), join(folder, 'wind.csv')];
    const { spin_down: figures, windage } = json('--spin-down', spin, '--windage', wind);
    const rows = readFileSync(spin, 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => line.split(','));
    expect(rows[0]).toEqual(['time_s', 'rotor_speed_rpm', 'energy_kJ', 'drag_power_W']);
    expect(Number(rows[1]![3])).toBe(figures.drag_power_at_max_W);
    const after = rows.findIndex(([time]) => Number(time) >= figures.half_life_s);
    expect(Number(rows[after]![2])).toBeLessThanOrEqual(170);
    expect(Number(rows[after - 1]![2])).toBeGreaterThanOrEqual(170);
    const lines = readFileSync(wind, 'utf8').trimEnd().split('\n');
    expect(lines[0]).toBe('pressure_Pa,torque_Nm,power_W,knudsen,regime');
    expect(lines.length).toBe(1 + windage.length);
    const powers = windage.map((point: { power_W: number }) => point.power_W);
    expect(powers).toEqual(powers.toSorted((a: number, b: number) => a - b));
  });

  it('go to standard output on their own', () => {
    const { stdout } = spinledger(0, ['rotor', '--spin-down', '-', '--format', 'none']);
    expect(stdout).toMatch(/^time_s,/);
    expect(spinledger(2, ['rotor', '--spin-down', '-']).stderr).toContain("add '--format none'");
  });

  it('never take the place of an input', () => {
    const folder = temporaryFolder();
    copyFileSync(join(ROOT, 'examples/stores/rim-60.json'), join(folder, 'store.json'));
    const args = ['rotor', '--store', 'store.json', '--spin-down', 'store.json'];
    expect(spinledger(2, args, { cwd: folder }).stderr).toContain('an input');
    expect(readFileSync(join(folder, 'store.json'), 'utf8')).toContain('rim-60');
  });
});

describe('bad usage of rotor', () => {
  it.each([
    [['--energy', '500'], "add '--speed RPM'"],
    [['--speed', '60000'], "needs '--energy', or '--mass' and '--radius'"],
    [['--speed', '60000', '--store', 'rim-60'], 'give one of them'],
    [[...OWN.slice(1), '--mass', '4'], 'leave one of the three out'],
    [['--shape', 'bored'], "needs '--bore RATIO'"],
    [['--bore', '0.5'], "goes with '--shape bored'"],
    [['--from-speed', '130'], "must be below '--to-speed'"],
    [['--material', 'wood'], 'Allowed choices are steel'],
    [['--pressure', '5'], 'a store file with a housing of its own'],
    [['--windage', 'w.csv', '--store', 'rim-60'], 'neither body nor housing is known'],
    [['--store', 'rim-6'], 'did you mean `rim-60`?'],
  ])('%s is told', (args, message) => {
    const { stderr, stdout } = spinledger(2, ['rotor', ...args]);
    expect(stderr).toContain(message);
    expect(stdout).toBe('');
  });
});
