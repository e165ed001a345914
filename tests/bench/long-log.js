import { closeSync, openSync, writeSync } from 'node:fs';

/** Seeded uniform numbers in 0 … 1 (the 32-bit mixer known as mulberry32). */
function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Rows a second. */
const RATE = 10;
/** Characters that are gathered before they are written. */
const CHUNK = 1 << 20;

/** What an engine's computer may have sent: nothing that a drive needs. */
function frame(random) {
  const half = () =>
    Math.floor(2 ** 32 * random())
      .toString(16)
      .padStart(8, '0');
  return `7e8#${half()}${half()}`;
}

/**
 * Writes an invented logged drive: stop and go over rolling hills at 10 Hz from rest to rest, with a
 * little noise on speed and more on altitude, a column that no drive needs, and now and then a doubled
 * time stamp, a missing row, a speed without a value and a spike. Some 42 bytes a row.
 *
 * @param path of the file
 * @param rows how many instants; 3 600 000 are 100 hours
 * @param seed of everything that is random in it
 */
export function writeLongLog(path, rows, seed = 1) {
  const random = seeded(seed);
  const file = openSync(path, 'w');
  let text = 'time_s,speed_kmh,altitude_m,bus_frame\n';
  let way = 0;
  let speed = 0;
  let target = 0;
  let rest = 5 * RATE;
  const end = rows - 60 * RATE;
  for (let k = 0; k < rows; k++) {
    if (k >= end) target = 0;
    else if (rest-- <= 0) {
      // A stop every third time, otherwise another speed, held for up to a minute.
      target = random() < 0.33 ? 0 : 4 + 29 * random();
      rest = RATE * (5 + 55 * random());
    }
    // The faster a car, the less it accelerates.
    const step = (target > speed ? 1.1 - 0.028 * speed : 1.6) / RATE;
    speed = Math.abs(target - speed) <= step ? target : speed + Math.sign(target - speed) * step;
    way += speed / RATE;
    const fault = k > 0 && k < end ? random() : 1;
    if (fault < 1e-4) continue;
    const noise = speed > 0 && k < end ? 0.1 * (random() - 0.5) : 0;
    const kmh = fault > 2e-4 && fault < 3e-4 ? 400 : Math.max(0, 3.6 * speed + noise);
    const altitude =
      300 + 40 * Math.sin(way / 900) + 15 * Math.sin(way / 210) + 2 * (random() - 0.5);
    const cell = fault > 3e-4 && fault < 4e-4 ? '' : kmh.toFixed(2);
    const line = `${(k / RATE).toFixed(1)},${cell},${altitude.toFixed(3)},${frame(random)}\n`;
    text += fault > 1e-4 && fault < 2e-4 ? line + line : line;
    if (text.length < CHUNK) continue;
    writeSync(file, text);
    text = '';
  }
  writeSync(file, text);
  closeSync(file);
}
