import { describe, expect, it } from 'vitest';
import { storeFrom } from '../../src/config/load.ts';
import { dragTorque, rotorEnergy } from '../../src/physics/rotor.ts';
import { windage } from '../../src/physics/windage.ts';
import { expectWithin } from '../within.ts';
import { documentOf, exampleData, folderWith } from './drafts.ts';

// Every expected number was worked out by hand to the digits that stand here.
const DIGITS = 1e-5;

async function resolved(
  file: string,
  // biome-ignore lint/suspicious/noExplicitAny: a draft may be changed in any way
  change: (store: any) => void = () => {},
  folder?: string,
) {
  const store = exampleData(`stores/${file}.json`);
  change(store);
  return (await storeFrom(documentOf(store, folder))).value;
}

describe('resolveStore', () => {
  it('converts limits, ratios and losses', async () => {
    const store = await resolved('rim-60');
    expect(store).toMatchObject({
      mass: 60,
      axle: 'rear',
      transmission: { type: 'variator', low: 50, high: 300 },
      losses: { form: 'model', share: 0.08, shareGrowth: 0.02, bestRatio: 120, spinTorque: 4 },
      powerLimit: 60_000,
      axleTorqueLimit: 888,
      adhesionLimit: 0.35,
      brakeShareLimit: 0.7,
      frictionOnlyAbove: 3.5,
      auxiliaryPower: 50,
    });
  });

  it('finds the inertia from the energy at the greatest speed', async () => {
    const { rotor } = await resolved('rim-60');
    // 2 · 540 kJ / (60 000 1/min)²: 6283.185 rad/s
    expectWithin(rotor.maxSpeed, 6283.185, DIGITS);
    expectWithin(rotor.minSpeed, 2094.395, DIGITS);
    expectWithin(rotor.inertia, 0.0273569, DIGITS);
    expectWithin(rotorEnergy(rotor, rotor.maxSpeed), 540_000, 1e-12);
  });

  it('takes the inertia as it is given', async () => {
    expect((await resolved('stepped')).rotor.inertia).toBe(0.0274);
  });

  it('starts at the bottom of the working range, or at a share of it', async () => {
    const empty = await resolved('rim-60');
    expectWithin(empty.initialSpeed, empty.rotor.minSpeed, 1e-12);
    const half = await resolved('rim-60', (store) => {
      store.initial_energy_pct = 50;
    });
    // 60 kJ at the bottom, 540 kJ at the top: 300 kJ halfway.
    expectWithin(rotorEnergy(half.rotor, half.initialSpeed), 300_000, 1e-12);
  });

  it('keeps the drag of a rotor for the next store with the same, and for no other', async () => {
    const drag = async (change: Parameters<typeof resolved>[1]) =>
      (await resolved('rim-45', change)).rotor.drag;
    const first = await drag(() => {});
    expect(await drag((store) => Object.assign(store, { power_limit_kW: 10 }))).toBe(first);
    for (const change of [{ pressure_Pa: 160 }, { bearing_torque_Nm: 0.013 }, { gap_mm: 5 }]) {
      const other = await drag((store) => Object.assign(store.rotor.drag, change));
      expect(other).not.toEqual(first);
    }
    const faster = await drag((store) => Object.assign(store.rotor, { max_speed_rpm: 61_000 }));
    expect(faster).not.toEqual(first);
  });

  it('takes drag coefficients as they stand', async () => {
    const { rotor } = await resolved('rim-60');
    expectWithin(dragTorque(rotor, 1000), 0.015 + 0.018, 1e-12);
  });

  it('tabulates bearings and windage over the whole range, close to the laws themselves', async () => {
    const { rotor } = await resolved('rim-45');
    const chamber = { pressure: 80, temperature: 323.15, gap: 0.004, accommodation: 1 };
    const shape = { radius: 0.1, length: 0.08 };
    for (const speed of [0, 100, 2094, 3000, 4567, rotor.maxSpeed]) {
      const expected = 0.012 + 8e-6 * speed + windage(shape, chamber, speed).torque;
      // The curve is linear between 513 points, the laws are smooth: below 1e-5 between points.
      expectWithin(dragTorque(rotor, speed), expected, 1e-5);
    }
  });

  it('gives an ideal transmission no losses', async () => {
    expect(await resolved('ideal')).toMatchObject({
      transmission: { type: 'ideal' },
      losses: { form: 'efficiency', share: 0 },
    });
  });

  it('makes a loss of an efficiency', async () => {
    const { losses } = await resolved('stepped');
    if (losses.form !== 'efficiency') throw new Error('the stepped store has one efficiency');
    expectWithin(losses.share, 0.06, 1e-12);
  });

  it('reads a loss table over ratio and load', async () => {
    const { losses } = await resolved(
      'rim-60',
      (store) => {
        store.losses = { form: 'table', file: 'losses.csv' };
      },
      folderWith({
        'losses.csv': 'efficiency,ratio,load_share\n0.9,300,1\n0.5,50,0\n0.6,300,0\n0.8,50,1\n',
      }),
    );
    if (losses.form !== 'table') throw new Error('the losses are a table');
    expect(losses.efficiency.at(50, 1)).toBe(0.8);
    expectWithin(losses.efficiency.at(175, 0.5), 0.7, 1e-12);
  });
});
