import { describe, expect, it } from 'vitest';
import { carFrom } from '../../src/config/load.ts';
import { fuelPower } from '../../src/physics/engine.ts';
import { expectWithin } from '../within.ts';
import { documentOf, exampleData, folderWith } from './drafts.ts';

// Every expected number was worked out by hand to the digits that stand here.
const DIGITS = 1e-5;

// biome-ignore lint/suspicious/noExplicitAny: a draft may be changed in any way
async function estate(change: (car: any) => void = () => {}, folder?: string) {
  const car = exampleData('cars/estate.json');
  change(car);
  return (await carFrom(documentOf(car, folder))).value;
}

describe('resolveCar', () => {
  it('converts masses, tyre and axles, and takes 3 % for the rotating mass', async () => {
    const car = await estate();
    expect(car.mass).toBe(1700);
    expect(car.rotatingMass).toBe(51);
    expect(car.tyreRadius).toBe(0.316);
    expect(car.axles.frontShare).toBe(0.56);
    expectWithin(car.axles.heightRatio, 0.203704, DIGITS);
    expect(
      (await estate((file) => Object.assign(file, { rotating_mass_kg: 0 }))).rotatingMass,
    ).toBe(0);
  });

  it('makes road-load forces of the coefficients, in air of 101.325 kPa and 20 °C', async () => {
    const { roadLoad } = await estate((car) => {
      car.road_load.headwind_kmh = 18;
    });
    // 1700 · 9.80665 · 0.0095; ½ · 1.204107 · 0.29 · 2.25; 18 / 3.6
    expectWithin(roadLoad.rolling, 158.3774, DIGITS);
    expect(roadLoad.linear).toBe(0);
    expectWithin(roadLoad.square, 0.39284, DIGITS);
    expectWithin(roadLoad.wind, 5, DIGITS);
  });

  it('takes the air that the file gives', async () => {
    const measured = await estate((car) => {
      car.air = { pressure_kPa: 98.21, temperature_C: 20 };
    });
    // Reference density of US road-load tests, 1.17 kg/m³ (40 CFR 1066.310, read): 1.16710 here.
    expectWithin(measured.roadLoad.square / (0.5 * 0.29 * 2.25), 1.1671, 1e-4);
    const high = await estate((car) => {
      car.air = { altitude_m: 1000 };
    });
    // Standard atmosphere at 1000 m: 1.1116 kg/m³ (ISO 2533, from memory).
    expectWithin(high.roadLoad.square / (0.5 * 0.29 * 2.25), 1.1116, 1e-4);
  });

  it('converts a coastdown from km/h to m/s', async () => {
    const { roadLoad } = await estate((car) => {
      car.road_load = { form: 'coastdown', f0_N: 100, f1_N_per_kmh: 0.5, f2_N_per_kmh2: 0.03 };
    });
    // At 100 km/h: 100 + 50 + 300 N, whichever unit the speed is in.
    const v = 100 / 3.6;
    expectWithin(roadLoad.rolling + roadLoad.linear * v + roadLoad.square * v * v, 450, 1e-12);
    expectWithin(roadLoad.linear, 1.8, DIGITS);
    expectWithin(roadLoad.square, 0.3888, DIGITS);
  });

  it('converts the gearbox, its thresholds and the launch device', async () => {
    const { gearbox } = await estate();
    expect([...gearbox.ratios]).toEqual([3.8, 2.1, 1.36, 1, 0.78, 0.64]);
    expect([...gearbox.efficiency]).toEqual([0.96, 0.97, 0.97, 0.98, 0.97, 0.97]);
    expect(gearbox.finalDriveRatio).toBe(3.6);
    if (gearbox.choice.by !== 'thresholds') throw new Error('the estate shifts at thresholds');
    expectWithin(gearbox.choice.up[4]!, 25, DIGITS);
    expectWithin(gearbox.choice.down[3]!, 15, DIGITS);
    expect(gearbox.launch).toMatchObject({ device: 'clutch', creepTorque: 0 });
    expectWithin(gearbox.launch.engagementSpeed, 109.9557, DIGITS);
  });

  it('takes one efficiency for all gears, and gears by least fuel', async () => {
    const { gearbox } = await estate((car) => {
      car.gearbox.efficiency = 0.9;
      car.gearbox.choice = {
        by: 'least-fuel',
        min_speed_rpm: 1200,
        max_speed_rpm: 3600,
        torque_reserve: 0.2,
        minimum_time_s: 3,
      };
    });
    expect([...gearbox.efficiency]).toEqual([0.9, 0.9, 0.9, 0.9, 0.9, 0.9]);
    expect(gearbox.choice).toEqual({
      by: 'least-fuel',
      minSpeed: 40 * Math.PI,
      maxSpeed: 120 * Math.PI,
      torqueReserve: 0.2,
      minimumTime: 3,
    });
  });

  it('converts the engine', async () => {
    const { engine } = await estate();
    expect(engine.fuel.name).toBe('diesel');
    expectWithin(engine.displacement, 0.002, DIGITS);
    expectWithin(engine.idleSpeed, 83.7758, DIGITS);
    expectWithin(engine.maxSpeed, 502.6548, DIGITS);
    expect(engine.inertia).toBe(0.18);
    // Midway between 1500 and 1750 1/min, 310 and 340 N m.
    expectWithin(engine.fullLoad.at((1625 * Math.PI) / 30), 325, DIGITS);
    expect(engine.frictionPressure0).toBe(130_000);
    // 0.25 bar over 104.7198 rad/s
    expectWithin(engine.frictionPressure1, 238.7324, DIGITS);
    expect(engine.fuelUse).toEqual({ form: 'affine', efficiency: 0.44 });
    expectWithin(engine.cutSpeed, 109.9557, DIGITS);
    // Warm when the file says nothing of a warm-up.
    expect(engine.warmUp).toMatchObject({ extra: 0, noStopBefore: 0 });
    // 0.5 g of 42.7 MJ/kg
    expectWithin(engine.restart.fuelEnergy, 21_350, DIGITS);
    expect(engine.restart).toMatchObject({ electricalEnergy: 2500, minimumOn: 2, minimumOff: 1 });
  });

  it("takes a warm-up and a fuel of one's own", async () => {
    const { engine } = await estate((car) => {
      car.engine.warm_up = { extra_friction: 0.5, time_constant_s: 240, no_stop_before_s: 60 };
      car.engine.fuel = {
        name: 'E85',
        density_kg_per_L: 0.785,
        heating_value_MJ_per_kg: 29.2,
        co2_g_per_L: 1610,
      };
    });
    expect(engine.warmUp).toEqual({ extra: 0.5, timeConstant: 240, noStopBefore: 60 });
    expect(engine.fuel).toEqual({
      name: 'E85',
      density: 0.785,
      heatingValue: 29.2e6,
      co2PerLitre: 1610,
    });
    expectWithin(engine.restart.fuelEnergy, 14_600, DIGITS);
  });

  it('converts the electrics', async () => {
    expect((await estate()).electrics).toEqual({
      load: 350,
      alternatorEfficiency: 0.65,
      batteryEfficiency: 0.85,
      rechargeLimit: 800,
      debtLimit: 400_000,
    });
  });

  it.each([
    ['flow', 'fuel_g_per_s', '0.5', '2', '1', '4'],
    // The same flows at 1200 and 2400 1/min with 20 and 100 N m: P = 2.513, 12.566, 5.027, 25.133 kW.
    ['work', 'bsfc_g_per_kWh', '716.1972', '572.9578', '716.1972', '572.9578'],
  ])('makes fuel power of a table of fuel over %s', async (_what, header, a, b, c, d) => {
    // Any order of rows and columns, a comment, and blanks.
    const text = `# measured\ntorque_Nm, ${header},speed_rpm\n100,${d},2400\n20,${a},1200\n\n20,${c},2400\n100,${b},1200\n`;
    const { engine } = await estate(
      (car) => {
        car.engine.fuel_use = { form: 'table', file: 'map.csv' };
      },
      folderWith({ 'map.csv': text }),
    );
    const at = (rpm: number, torque: number) => {
      const speed = (rpm * Math.PI) / 30;
      return fuelPower(engine, speed, torque * speed, 1000, 1000);
    };
    // 0.5, 2, 1 and 4 g/s of 42.7 MJ/kg
    expectWithin(at(1200, 20), 21_350, DIGITS);
    expectWithin(at(1200, 100), 85_400, DIGITS);
    expectWithin(at(2400, 20), 42_700, DIGITS);
    expectWithin(at(2400, 100), 170_800, DIGITS);
    // Bilinear in the flow: the mean of the four corners in the middle.
    expectWithin(at(1800, 60), 80_062.5, DIGITS);
  });
});
