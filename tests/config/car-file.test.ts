import { describe, expect, it } from 'vitest';
import { parseJson } from '../../src/config/json.ts';
import { carFrom } from '../../src/config/load.ts';
import { documentOf, exampleData, folderWith, problemsOf } from './drafts.ts';

// biome-ignore lint/suspicious/noExplicitAny: a draft may be wrong in any way
type Draft = any;

/** Problems of the estate after a change. */
function problemsAfter(change: (car: Draft) => void, folder?: string) {
  const car = exampleData('cars/estate.json');
  change(car);
  return problemsOf(carFrom(documentOf(car, folder)));
}

describe('a car file with a wrong key or value', () => {
  it('names an unknown key and the one that was meant', async () => {
    const problems = await problemsAfter((car) => {
      car.engine.idle_sped_rpm = car.engine.idle_speed_rpm;
      delete car.engine.idle_speed_rpm;
    });
    // The key that was meant is not reported as missing as well.
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'unknown-key',
      file: 'draft.json',
      path: 'engine.idle_sped_rpm',
      found: '800',
      hint: 'did you mean `idle_speed_rpm`?',
    });
    expect(problems[0]?.expected).toContain('`idle_speed_rpm`');
  });

  it.each([
    ['mass_lb', 'mass_kg'],
    ['mass', 'mass_kg'],
    ['tyre_radius_mm', 'tyre_radius_m'],
    ['tyre_radius_in', 'tyre_radius_m'],
  ])('takes %s for %s in another unit', async (wrong, right) => {
    const problems = await problemsAfter((car) => {
      delete car[right];
      car[wrong] = 3700;
    });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: 'unknown-key', path: wrong, found: '3700' });
    expect(problems[0]?.hint).toContain(`did you mean \`${right}\`? its unit`);
  });

  it('tells the range and the reason for a value out of it', async () => {
    const problems = await problemsAfter((car) => {
      car.engine.idle_speed_rpm = 75_000;
    });
    expect(problems[0]).toMatchObject({
      code: 'out-of-range',
      path: 'engine.idle_speed_rpm',
      found: '75000',
      expected:
        'a number from 300 to 2000 1/min (below it no engine runs by itself, above it none idles)',
    });
  });

  it('counts the lines of the file', async () => {
    const car = exampleData('cars/estate.json');
    car.mass_kg = -5;
    const line = JSON.stringify(car, null, 2)
      .split('\n')
      .findIndex((text) => text.includes('"mass_kg"'));
    const problems = await problemsOf(carFrom(documentOf(car)));
    expect(problems[0]).toMatchObject({ path: 'mass_kg', line: line + 1 });
  });

  it('gives a missing key the line of its object', async () => {
    const problems = await problemsAfter((car) => {
      delete car.axles.wheelbase_m;
    });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'missing-key',
      path: 'axles.wheelbase_m',
      found: 'no such key',
      line: documentOf(exampleData('cars/estate.json')).lineOf(['axles']),
    });
  });

  it('tells a number in quotation marks from another text', async () => {
    const problems = await problemsAfter((car) => {
      car.mass_kg = '1700';
      car.tyre_radius_m = 'big';
    });
    expect(problems).toMatchObject([
      { code: 'wrong-type', path: 'mass_kg', hint: 'numbers stand without quotation marks' },
      { code: 'wrong-type', path: 'tyre_radius_m', found: '"big"' },
    ]);
    expect(problems[1]?.hint).toBeUndefined();
  });

  it('names the forms there are, and the one that was meant', async () => {
    const problems = await problemsAfter((car) => {
      car.road_load.form = 'physic';
      car.engine.fuel_use = { form: 'map' };
    });
    expect(problems).toMatchObject([
      {
        code: 'unknown-value',
        path: 'road_load.form',
        expected: '"physical" or "coastdown"',
        hint: 'did you mean "physical"?',
      },
      { code: 'unknown-value', path: 'engine.fuel_use.form', expected: '"affine" or "table"' },
    ]);
  });

  it('speaks of the alternative that was meant where a value may be of two kinds', async () => {
    const problems = await problemsAfter((car) => {
      car.engine.fuel = { name: 'gas', density_kg_per_L: 540, heating_value_MJ_per_kg: 46 };
      car.gearbox.efficiency[1] = 97;
      car.air = { pressure_kPa: 1013, temperature_C: 20 };
    });
    expect(problems.map(({ code, path }) => [code, path])).toEqual([
      ['out-of-range', 'gearbox.efficiency[1]'],
      // A missing key stands at the beginning of its object.
      ['missing-key', 'engine.fuel.co2_g_per_L'],
      ['out-of-range', 'engine.fuel.density_kg_per_L'],
      ['out-of-range', 'air.pressure_kPa'],
    ]);
  });

  it('reports everything at once and in file order, duplicates and cross checks with it', async () => {
    const text = JSON.stringify(
      {
        ...exampleData('cars/estate.json'),
        mass_kg: 'heavy',
        launch: { device: 'clutch', engagement_speed_rpm: 300 },
        electrics: { load_W: -1 },
      },
      null,
      2,
    ).replace('"name":', '"name": "once",\n  "name":');
    const document = documentOf({});
    const problems = await problemsOf(carFrom({ ...document, ...parseJson(text, 'draft.json') }));
    expect(problems.map(({ path }) => path)).toEqual([
      'name',
      'mass_kg',
      'launch.engagement_speed_rpm',
      'electrics.alternator_efficiency',
      'electrics.battery_efficiency',
      'electrics.recharge_limit_W',
      'electrics.debt_limit_kJ',
      'electrics.load_W',
    ]);
    const lines = problems.map(({ line }) => line ?? 0);
    expect(lines).toEqual(lines.toSorted((a, b) => a - b));
  });

  it.each([[[]], [7], ['car'], [null]])('refuses %j, which is no object', async (value) => {
    const problems = await problemsOf(carFrom(documentOf(value)));
    expect(problems).toHaveLength(1);
    expect(problems[0]?.expected).toContain('an object in braces with');
  });

  it('does not take a key that every object has for one of its own', async () => {
    const text = '{"__proto__": 1, "constructor": 2, "toString": 3}';
    const problems = await problemsOf(
      carFrom({ ...documentOf({}), ...parseJson(text, 'draft.json') }),
    );
    const unknown = problems.filter(({ code }) => code === 'unknown-key').map(({ path }) => path);
    expect(unknown).toEqual(['__proto__', 'constructor', 'toString']);
  });
});

describe('a car file whose keys contradict one another', () => {
  // What is changed, where the problem is expected, and a piece of what is said about it.
  const cases: readonly (readonly [string, (car: Draft) => void, string, string])[] = [
    [
      'air beside a coastdown',
      (car) => {
        car.road_load = { form: 'coastdown', f0_N: 120, f1_N_per_kmh: 0.5, f2_N_per_kmh2: 0.03 };
        car.air = { altitude_m: 500 };
      },
      'air',
      'hold the air it was driven in',
    ],
    [
      'a coastdown that pushes the car',
      (car) => {
        car.road_load = { form: 'coastdown', f0_N: 100, f1_N_per_kmh: -5, f2_N_per_kmh2: 0.03 };
      },
      'road_load.f1_N_per_kmh',
      'above 0 at every speed',
    ],
    [
      'gears in the wrong order',
      (car) => {
        car.gearbox.ratios[2] = 2.3;
      },
      'gearbox.ratios[2]',
      'less than 2.1',
    ],
    [
      'too few efficiencies',
      (car) => {
        car.gearbox.efficiency = [0.96, 0.97];
      },
      'gearbox.efficiency',
      '6 numbers, one for each',
    ],
    [
      'too many thresholds',
      (car) => {
        car.gearbox.choice.up_kmh.push(120);
      },
      'gearbox.choice.up_kmh',
      '5 numbers, one fewer',
    ],
    [
      'thresholds out of order',
      (car) => {
        car.gearbox.choice.down_kmh[2] = 20;
      },
      'gearbox.choice.down_kmh[2]',
      'more than 28',
    ],
    [
      'a downshift above the upshift',
      (car) => {
        car.gearbox.choice.down_kmh[0] = 21;
      },
      'gearbox.choice.down_kmh[0]',
      'below 20 km/h, at which gear 1 is left for gear 2',
    ],
    [
      'an upshift beyond the greatest engine speed',
      (car) => {
        car.gearbox.choice.up_kmh[4] = 240;
      },
      'gearbox.choice.up_kmh[4]',
      'keeps the engine within 4800 1/min',
    ],
    [
      'a downshift below idle',
      (car) => {
        car.gearbox.choice.down_kmh[0] = 8;
      },
      'gearbox.choice.down_kmh[0]',
      'at idle speed (800 1/min) or above',
    ],
    [
      'a gear range that begins below idle',
      (car) => {
        car.gearbox.choice = leastFuel({ min_speed_rpm: 700 });
      },
      'gearbox.choice.min_speed_rpm',
      'engine.idle_speed_rpm (800) at least',
    ],
    [
      'a gear range that ends above the greatest speed',
      (car) => {
        car.gearbox.choice = leastFuel({ max_speed_rpm: 5000 });
      },
      'gearbox.choice.max_speed_rpm',
      'engine.max_speed_rpm (4800) at most',
    ],
    [
      'gears that do not meet',
      (car) => {
        car.gearbox.choice = leastFuel({ min_speed_rpm: 1500, max_speed_rpm: 2600 });
      },
      'gearbox.choice.max_speed_rpm',
      '2714 1/min at least, so that gears 1 and 2 meet',
    ],
    [
      'an engagement speed below idle',
      (car) => {
        car.launch.engagement_speed_rpm = 700;
      },
      'launch.engagement_speed_rpm',
      'from idle (800 1/min)',
    ],
    [
      'creep of a clutch',
      (car) => {
        car.launch.creep_torque_Nm = 5;
      },
      'launch.creep_torque_Nm',
      '0 for a clutch',
    ],
    [
      'an idle speed above the greatest',
      (car) => {
        car.engine.max_speed_rpm = 800;
        car.gearbox.choice.up_kmh = [5, 12, 18, 24, 30];
        car.gearbox.choice.down_kmh = [17, 28, 40, 54, 70];
      },
      'engine.max_speed_rpm',
      'above idle_speed_rpm, 800',
    ],
    [
      'a fuel cut below idle',
      (car) => {
        car.engine.overrun_cut_above_rpm = 700;
      },
      'engine.overrun_cut_above_rpm',
      'from idle (800 1/min)',
    ],
    [
      'full-load speeds out of order',
      (car) => {
        car.engine.full_load.speed_rpm[3] = 1200;
      },
      'engine.full_load.speed_rpm[3]',
      'more than 1250',
    ],
    [
      'a full-load curve that does not reach the greatest speed',
      (car) => {
        car.engine.full_load.speed_rpm[10] = 4700;
      },
      'engine.full_load.speed_rpm',
      '800 to 4800 1/min',
    ],
    [
      'full-load columns of two lengths',
      (car) => {
        car.engine.full_load.torque_Nm.pop();
      },
      'engine.full_load.torque_Nm',
      '11 numbers, one for each',
    ],
    [
      'a starter too weak to spin the engine up',
      (car) => {
        car.engine.restart.electrical_kJ = 0.6;
      },
      'engine.restart.electrical_kJ',
      // ½ · 0.18 kg m² · (800 1/min)² = 631.7 J by hand.
      '0.6317 kJ at least',
    ],
    [
      'a debt limit that one start uses up',
      (car) => {
        car.electrics.debt_limit_kJ = 2.9;
      },
      'electrics.debt_limit_kJ',
      // 2.5 kJ / 0.85 by hand.
      'more than 2.941 kJ',
    ],
  ];

  it.each(cases)('refuses %s', async (_what, change, path, expected) => {
    const problems = await problemsAfter(change);
    const problem = problems.find((one) => one.path === path);
    expect(problem, JSON.stringify(problems)).toBeDefined();
    expect(problem?.expected).toContain(expected);
    expect(problem?.line).toBeGreaterThan(1);
  });

  it('is content with the estate as it is', async () => {
    const loaded = await carFrom(documentOf(exampleData('cars/estate.json')));
    expect(loaded.name).toBe('estate');
  });

  it('hears the sections that are sound although another is not', async () => {
    const problems = await problemsAfter((car) => {
      car.axles = 'two';
      car.gearbox.choice.down_kmh[0] = 21;
      car.engine.overrun_cut_above_rpm = 700;
    });
    expect(problems.map(({ path }) => path)).toEqual([
      'axles',
      'gearbox.choice.down_kmh[0]',
      'engine.overrun_cut_above_rpm',
    ]);
  });
});

function leastFuel(values: object) {
  return {
    by: 'least-fuel',
    min_speed_rpm: 1200,
    max_speed_rpm: 3500,
    torque_reserve: 0.2,
    minimum_time_s: 2,
    ...values,
  };
}

describe('a car file with an engine table', () => {
  const GOOD =
    'speed_rpm,torque_Nm,fuel_g_per_s\n800,0,0.1\n800,100,0.6\n3000,0,0.5\n3000,100,2.4\n';

  function withTable(text: string) {
    return problemsAfter(
      (car) => {
        car.engine.fuel_use = { form: 'table', file: 'engine.csv' };
      },
      folderWith({ 'engine.csv': text }),
    );
  }

  it('names a grid point that is missing, in the file that lacks it', async () => {
    const problems = await withTable(GOOD.replace('3000,0,0.5\n', ''));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'missing-point',
      path: 'speed_rpm 3000, torque_Nm 0',
    });
    expect(problems[0]?.file).toMatch(/engine\.csv$/);
  });

  it('refuses fuel per work at no load', async () => {
    const problems = await withTable(
      GOOD.replace('fuel_g_per_s', 'bsfc_g_per_kWh').replace(/0\.\d|2\.4/g, '250'),
    );
    expect(problems[0]).toMatchObject({ code: 'inconsistent', path: 'torque_Nm', found: '0' });
  });

  it('refuses torques below those at which the engine is dragged without fuel', async () => {
    // Friction of the estate at idle: (1.3 + 0.25 · 0.8) bar · 2 L / 4π = 23.87 N m.
    const problems = await withTable(GOOD.replaceAll(',0,', ',-24,'));
    expect(problems[0]).toMatchObject({ code: 'inconsistent', path: 'torque_Nm', found: '-24' });
    expect(problems[0]?.expected).toContain('above -23.87 N m');
  });

  it('refuses a flow with which the engine would do more work than its fuel holds', async () => {
    // 100 g/kWh at 3000 1/min and 100 N m: 2π · 50 · 100 W = 31.416 kW, hence 0.8727 g/s.
    const problems = await withTable(GOOD.replace('2.4', '0.87'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      code: 'out-of-range',
      path: 'fuel_g_per_s at 3000 1/min and 100 N m',
      found: '0.87',
    });
    expect(problems[0]?.expected).toContain('0.8727 g/s at least');
    await expect(withTable(GOOD.replace('2.4', '0.873'))).rejects.toThrow(/should have been/);
  });

  it('tells of a table that is not there, beside the other problems of the car', async () => {
    const problems = await problemsAfter((car) => {
      car.engine.fuel_use = { form: 'table', file: 'nothing.csv' };
      car.mass_kg = 5;
    });
    expect(problems.map(({ code }) => code)).toEqual(['out-of-range', 'no-file']);
  });
});
