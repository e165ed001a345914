// Makes the measured tables of this folder: invented runs, simulated with parameters that are not
// those of any file of the example set, with the noise of invented sensors on top. The same bytes
// come out every time, until the model or the example files behind drive.csv change: then this has to
// be run again.
//
//     node examples/measured/make.mjs            writes beside this file
//     node examples/measured/make.mjs FOLDER     writes there

import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import {
  Demand,
  FUELS,
  fitStore,
  GRAVITY,
  initialState,
  loadCase,
  meanPressurePower,
  roadLoadForce,
  run,
} from 'spinledger';

const KMH = 1 / 3.6;
const RPM = Math.PI / 30;
const folder = process.argv[2] ?? dirname(fileURLToPath(import.meta.url));
mkdirSync(folder, { recursive: true });

/** Normal noise from a seed: the 32-bit mixer mulberry32, and Box and Muller's rotation. */
function noise(seed) {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** One step of dv/dt = rate(v) by Runge and Kutta's fourth order. */
function step(rate, v, dt) {
  const k1 = rate(v);
  const k2 = rate(v + 0.5 * dt * k1);
  const k3 = rate(v + 0.5 * dt * k2);
  const k4 = rate(v + dt * k3);
  return v + (dt / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
}

function write(name, comments, header, rows) {
  const lines = [
    ...comments.map((text) => `# ${text}`),
    header,
    ...rows.map((row) => row.join(',')),
  ];
  writeFileSync(join(folder, name), `${lines.join('\n')}\n`);
}

/** Coastdown: three pairs of runs, each with a wind of its own, over a road with a slope of 0.2 %. */
function coastdown() {
  const random = noise(11);
  const mass = 1475;
  const rotating = 0.03 * mass;
  const slope = 0.002;
  const winds = [0.9, -0.4, 1.6];
  const rows = [];
  for (const [pair, wind] of winds.entries()) {
    for (const way of [1, -1]) {
      const load = { rolling: 142, linear: 1.3, square: 0.39, wind: way * wind };
      const force = (v) => roadLoadForce(load, v) + way * slope * mass * GRAVITY;
      let v = (128 + 2 * random()) * KMH;
      for (let t = 0; v > 14 * KMH; t++) {
        const name = `${pair + 1}${way > 0 ? 'a' : 'b'}`;
        const measured = v / KMH + 0.15 * random();
        rows.push([name, way > 0 ? 'north' : 'south', t, measured.toFixed(2)]);
        v = step((speed) => -force(speed) / (mass + rotating), v, 1);
      }
    }
  }
  write(
    'coastdown.csv',
    [
      'Invented: three pairs of coastdown runs of no real car on no real road, made by make.mjs.',
      'Behind them: 1475 kg and 3 % of it rotating, F0 142 N, F1 0.3611 N/(km/h), F2 0.03009 N/(km/h)².',
    ],
    'run,direction,time_s,speed_kmh',
    rows,
  );
}

/** Spin-down of a rotor that no store file of the example set has. */
function spindown() {
  const random = noise(12);
  const inertia = 0.0312;
  const torque = (w) => 0.034 + 2.1e-5 * w;
  const rows = [];
  let w = 41_500 * RPM;
  for (let t = 0; t <= 900; t++) {
    rows.push([t, (w / RPM + 6 * random()).toFixed(1)]);
    w = step((speed) => -torque(speed) / inertia, w, 1);
  }
  write(
    'spindown.csv',
    [
      'Invented: the spin-down of a rotor of no real store, made by make.mjs.',
      'Behind it: 0.0312 kg m², drag torque 0.034 N m + 2.1e-5 N m s/rad times the speed.',
    ],
    'time_s,rotor_speed_rpm',
    rows,
  );
}

/** Engine points of an affine engine that no car file of the example set has. */
function engine() {
  const random = noise(13);
  const displacement = 1.6e-3;
  const heatingValue = FUELS.diesel.heatingValue;
  const rows = [];
  for (const speed of [800, 1250, 1500, 2000, 2500, 3000, 3500]) {
    for (const torque of [0, 30, 60, 100, 150, 200, 250]) {
      if (torque > 150 + speed / 25) continue;
      const w = speed * RPM;
      const friction = meanPressurePower(1.28e5 + 0.22e5 * (speed / 1000), displacement, w);
      const fuel = (w * torque + friction) / 0.436 / heatingValue;
      rows.push([speed, torque, (1000 * fuel * (1 + 0.01 * random())).toFixed(4)]);
    }
  }
  write(
    'engine.csv',
    [
      'Invented: points of a 1.6 L diesel of no real car, made by make.mjs, with 1 % of noise.',
      'Behind them: efficiency 0.436, friction pressure 1.28 bar + 0.22 bar per 1000 1/min.',
    ],
    'speed_rpm,torque_Nm,fuel_g_per_s',
    rows,
  );
}

/** The case of the drive: files of the example set with other numbers in them. */
async function changedCase() {
  const examples = fileURLToPath(new URL('..', import.meta.url));
  const changed = mkdtempSync(join(tmpdir(), 'measured-'));
  const change = (kind, name, edit) => {
    const file = JSON.parse(readFileSync(join(examples, kind, `${name}.json`), 'utf8'));
    edit(file);
    const path = join(changed, `${name}.json`);
    writeFileSync(path, JSON.stringify(file));
    return path;
  };
  try {
    const { subject } = await loadCase({
      car: change('cars', 'estate', (file) => {
        file.mass_kg += 85;
      }),
      store: change('stores', 'rim-45', (file) => {
        file.losses.spin_torque_Nm = 4.6;
      }),
      strategy: join(examples, 'strategies', 'assist-stop.json'),
      cycle: 'udds[0..505]',
    });
    return subject;
  } finally {
    rmSync(changed, { recursive: true });
  }
}

/**
 * A drive of 505 s as a data logger of the car would have it: car and store of the example set with
 * more mass, a heavier transmission and a store that is half full, logged from 4 s before the start.
 */
async function drive() {
  const random = noise(14);
  const { car, store, trace, makeStrategy } = await changedCase();
  const fitted = fitStore(car, store);
  const start = { ...initialState(fitted, store), rotorSpeed: 38_000 * RPM };
  const before = 4;
  const idle = 0.13;
  const row = (t, speed, rotor, fuel, on) => [
    t,
    Math.max(0, speed / KMH + (speed > 0 ? 0.05 * random() : 0)).toFixed(2),
    (rotor / RPM + 25 * random()).toFixed(0),
    Math.max(0, fuel + (fuel > 0 ? 0.01 * random() : 0)).toFixed(4),
    on ? 1 : 0,
  ];
  const rows = [];
  for (let t = 0; t < before; t++) rows.push(row(t, 0, start.rotorSpeed, idle, true));
  let rotor = start.rotorSpeed;
  run(fitted, store, new Demand(fitted, store, trace), makeStrategy(), start, (step) => {
    const fuel = step.fuel / fitted.engine.fuel.heatingValue;
    const k = step.time - trace.time[0];
    rows.push(row(before + k, trace.speed[k], rotor, 1000 * fuel, step.engineOn));
    rotor = step.rotorSpeed;
  });
  write(
    'drive.csv',
    [
      'Invented: a log of a drive of no real car, made by make.mjs: the estate with rim-45 and',
      'assist-stop on udds[0..505], with 85 kg more and a spin torque of 4.6 N m instead of 3.5.',
      'Its clock begins 4 s before the cycle.',
    ],
    'time_s,speed_kmh,rotor_speed_rpm,fuel_g_per_s,engine_on',
    rows,
  );
}

coastdown();
spindown();
engine();
await drive();
