import type { CarFile } from './car-file.ts';
import { type DocumentProblems, short } from './document.ts';
import { checkOrder } from './list-order.ts';
import { KILO, KMH, RPM } from './units.ts';

type Gearbox = CarFile['gearbox'];
type Engine = CarFile['engine'];

/**
 * What the keys of a car file must be to one another. Each check needs only the parts it speaks of,
 * so that all of them are heard at once.
 *
 * @param car the parts of the file that are sound in themselves
 * @param problems to which the problems are added
 */
export function checkCar(car: Partial<CarFile>, problems: DocumentProblems): void {
  const { gearbox, engine, launch, electrics } = car;
  checkRoadLoad(car, problems);
  if (gearbox !== undefined) checkGearbox(gearbox, problems);
  if (engine !== undefined) checkEngine(engine, problems);
  if (launch !== undefined) checkLaunch(launch, engine, problems);
  if (gearbox !== undefined && engine !== undefined) {
    checkLeastFuel(gearbox, engine, problems);
    if (car.tyre_radius_m !== undefined) {
      checkShiftSpeeds(gearbox, engine, car.tyre_radius_m, problems);
    }
  }
  if (car.sprint?.launch_speed_rpm !== undefined) {
    checkWithinEngine(
      ['sprint', 'launch_speed_rpm'],
      car.sprint.launch_speed_rpm,
      engine,
      problems,
    );
  }
  if (electrics !== undefined && engine !== undefined) {
    checkDebtLimit(electrics, engine, problems);
  }
}

function checkRoadLoad(car: Partial<CarFile>, problems: DocumentProblems): void {
  const load = car.road_load;
  if (load?.form !== 'coastdown') return;
  if (car.air !== undefined) {
    problems.add(['air'], {
      code: 'conflicting-keys',
      expected: 'no `air` beside a coastdown, whose coefficients hold the air it was driven in',
      hint: 'leave `air` out, or give the road load in its physical form',
    });
  }
  const { f0_N: f0, f1_N_per_kmh: f1, f2_N_per_kmh2: f2 } = load;
  // The parabola has its least value at −f1 / 2 f2, which is a forward speed where f1 is negative.
  const least = f1 >= 0 ? f0 : f2 > 0 ? f0 - (f1 * f1) / (4 * f2) : Number.NEGATIVE_INFINITY;
  if (least > 0) return;
  problems.add(['road_load', 'f1_N_per_kmh'], {
    code: 'inconsistent',
    found: String(f1),
    expected: 'coefficients whose force is above 0 at every speed',
    hint: `with these the road would push the car${f2 > 0 ? ` at ${short(-f1 / (2 * f2))} km/h` : ''}`,
  });
}

function checkGearbox(gearbox: Gearbox, problems: DocumentProblems): void {
  const { ratios, efficiency, choice } = gearbox;
  const count = ratios.length;
  checkOrder(['gearbox', 'ratios'], ratios, 'falling', problems);
  if (typeof efficiency !== 'number' && efficiency.length !== count) {
    problems.add(['gearbox', 'efficiency'], {
      code: 'list-length',
      found: `${efficiency.length} numbers`,
      expected: `${count} numbers, one for each of \`ratios\`, or one number for all`,
    });
  }
  if (choice.by !== 'thresholds') return;
  for (const key of ['up_kmh', 'down_kmh'] as const) {
    const path = ['gearbox', 'choice', key];
    if (choice[key].length !== count - 1) {
      problems.add(path, {
        code: 'list-length',
        found: `${choice[key].length} numbers`,
        expected: `${count - 1} numbers, one fewer than \`gearbox.ratios\``,
      });
    }
    checkOrder(path, choice[key], 'rising', problems);
  }
  for (const [i, down] of choice.down_kmh.entries()) {
    const up = choice.up_kmh[i];
    if (up === undefined || down < up) continue;
    problems.add(['gearbox', 'choice', 'down_kmh', i], {
      code: 'inconsistent',
      found: String(down),
      expected: `a speed below ${up} km/h, at which gear ${i + 1} is left for gear ${i + 2}`,
      hint: 'without a gap between both the gearbox would hunt',
    });
  }
}

function checkEngine(engine: Engine, problems: DocumentProblems): void {
  const { idle_speed_rpm: idle, max_speed_rpm: max, full_load: fullLoad } = engine;
  if (idle >= max) {
    problems.add(['engine', 'max_speed_rpm'], {
      code: 'inconsistent',
      found: String(max),
      expected: `a speed above idle_speed_rpm, ${idle}`,
    });
  }
  const cut = engine.overrun_cut_above_rpm;
  if (cut < idle || cut > max) {
    problems.add(['engine', 'overrun_cut_above_rpm'], {
      code: 'out-of-range',
      found: String(cut),
      expected: `a speed from idle (${idle} 1/min) to the greatest speed (${max} 1/min)`,
      hint: 'below idle the fuel cannot be cut: the engine would die',
    });
  }
  const path = ['engine', 'full_load', 'speed_rpm'];
  const speeds = fullLoad.speed_rpm;
  if (speeds.length !== fullLoad.torque_Nm.length) {
    problems.add(['engine', 'full_load', 'torque_Nm'], {
      code: 'list-length',
      found: `${fullLoad.torque_Nm.length} numbers`,
      expected: `${speeds.length} numbers, one for each of \`speed_rpm\``,
    });
  }
  if (checkOrder(path, speeds, 'rising', problems) && (speeds[0]! > idle || speeds.at(-1)! < max)) {
    problems.add(path, {
      code: 'inconsistent',
      found: `${speeds[0]} to ${speeds.at(-1)} 1/min`,
      expected: `speeds that cover idle to greatest speed, ${idle} to ${max} 1/min`,
    });
  }
  const spinUp = 0.5 * engine.inertia_kg_m2 * (idle * RPM) ** 2;
  if (engine.restart.electrical_kJ * KILO < spinUp) {
    problems.add(['engine', 'restart', 'electrical_kJ'], {
      code: 'inconsistent',
      found: String(engine.restart.electrical_kJ),
      expected: `${short(spinUp / KILO)} kJ at least, ½ J ω² of the engine at idle`,
      hint: 'the starter must at least spin the engine up; a few times that is usual',
    });
  }
}

function checkLaunch(
  launch: CarFile['launch'],
  engine: Engine | undefined,
  problems: DocumentProblems,
): void {
  if (launch.device === 'clutch' && launch.creep_torque_Nm > 0) {
    problems.add(['launch', 'creep_torque_Nm'], {
      code: 'inconsistent',
      found: String(launch.creep_torque_Nm),
      expected: '0 for a clutch, which is open while the car stands',
      hint: 'only a converter drags the idling engine',
    });
  }
  const path = ['launch', 'engagement_speed_rpm'];
  checkWithinEngine(path, launch.engagement_speed_rpm, engine, problems);
}

function checkWithinEngine(
  path: readonly string[],
  speed: number,
  engine: Engine | undefined,
  problems: DocumentProblems,
): void {
  if (engine === undefined) return;
  const { idle_speed_rpm: idle, max_speed_rpm: max } = engine;
  if (speed >= idle && speed <= max) return;
  problems.add(path, {
    code: 'out-of-range',
    found: String(speed),
    expected: `a speed from idle (${idle} 1/min) to the greatest speed (${max} 1/min)`,
  });
}

function checkLeastFuel(gearbox: Gearbox, engine: Engine, problems: DocumentProblems): void {
  const { choice, ratios } = gearbox;
  if (choice.by !== 'least-fuel') return;
  const { min_speed_rpm: min, max_speed_rpm: max } = choice;
  const path = (key: string) => ['gearbox', 'choice', key];
  if (min < engine.idle_speed_rpm) {
    problems.add(path('min_speed_rpm'), {
      code: 'out-of-range',
      found: String(min),
      expected: `engine.idle_speed_rpm (${engine.idle_speed_rpm}) at least`,
    });
  }
  if (max > engine.max_speed_rpm) {
    problems.add(path('max_speed_rpm'), {
      code: 'out-of-range',
      found: String(max),
      expected: `engine.max_speed_rpm (${engine.max_speed_rpm}) at most`,
    });
  }
  for (let i = 1; i < ratios.length; i++) {
    const step = ratios[i - 1]! / ratios[i]!;
    if (step * min <= max) continue;
    problems.add(path('max_speed_rpm'), {
      code: 'inconsistent',
      found: String(max),
      expected: `${short(step * min)} 1/min at least, so that gears ${i} and ${i + 1} meet`,
      hint: 'between them there would be road speeds that no gear serves',
    });
  }
}

function checkShiftSpeeds(
  gearbox: Gearbox,
  engine: Engine,
  tyreRadius: number,
  problems: DocumentProblems,
): void {
  const { choice, ratios } = gearbox;
  if (choice.by !== 'thresholds') return;
  const perRatio = (KMH * gearbox.final_drive_ratio) / tyreRadius / RPM;
  const engineSpeed = (kmh: number, ratio: number) => kmh * ratio * perRatio;
  for (const [i, up] of choice.up_kmh.entries()) {
    const ratio = ratios[i];
    if (ratio === undefined) continue;
    const speed = engineSpeed(up, ratio);
    if (speed <= engine.max_speed_rpm) continue;
    problems.add(['gearbox', 'choice', 'up_kmh', i], {
      code: 'inconsistent',
      found: String(up),
      expected: `a speed at which gear ${i + 1} keeps the engine within ${engine.max_speed_rpm} 1/min`,
      hint: `here it turns at ${short(speed)} 1/min; shift up below ${short((up * engine.max_speed_rpm) / speed)} km/h`,
    });
  }
  for (const [i, down] of choice.down_kmh.entries()) {
    const ratio = ratios[i + 1];
    if (ratio === undefined) continue;
    const speed = engineSpeed(down, ratio);
    if (speed >= engine.idle_speed_rpm) continue;
    problems.add(['gearbox', 'choice', 'down_kmh', i], {
      code: 'inconsistent',
      found: String(down),
      expected: `a speed at which gear ${i + 2} keeps the engine at idle speed (${engine.idle_speed_rpm} 1/min) or above`,
      hint: `here it would turn at ${short(speed)} 1/min; shift down above ${short((down * engine.idle_speed_rpm) / speed)} km/h`,
    });
  }
}

function checkDebtLimit(
  electrics: CarFile['electrics'],
  engine: Engine,
  problems: DocumentProblems,
): void {
  const start = engine.restart.electrical_kJ / electrics.battery_efficiency;
  if (electrics.debt_limit_kJ > start) return;
  problems.add(['electrics', 'debt_limit_kJ'], {
    code: 'inconsistent',
    found: String(electrics.debt_limit_kJ),
    expected: `more than ${short(start)} kJ, which one start takes from the battery`,
    hint: 'with less, each start would forbid the next stop',
  });
}
