import { editDistance } from '../config/suggest.ts';
import { DEGREE, FOOT, KNOT, MILLI, PERCENT, SPEED_UNITS } from '../config/units.ts';

/** What a column of a drive can hold. */
export const QUANTITIES = ['time', 'speed', 'grade', 'altitude', 'latitude', 'longitude'] as const;

/** One of the quantities. */
export type Quantity = (typeof QUANTITIES)[number];

/** A unit that a column may be in. */
export interface Unit {
  /** Ending of a header that names it, as in `speed_kmh`. */
  readonly ending: string;
  /** SI per unit. */
  readonly factor: number;
  /** The unit in words. */
  readonly words: string;
  /** Other ways to write it, in lower case. */
  readonly spellings: readonly string[];
}

/** Names of a quantity in a header, in lower case with underscores; the first is the usual one. */
const NAMES: Readonly<Record<Quantity, readonly string[]>> = {
  time: ['time', 't', 'timestamp', 'time_stamp', 'datetime', 'date_time'],
  speed: ['speed', 'v', 'velocity', 'vehicle_speed'],
  grade: ['grade', 'slope', 'gradient', 'road_grade'],
  altitude: ['altitude', 'alt', 'elevation', 'ele'],
  latitude: ['latitude', 'lat'],
  longitude: ['longitude', 'lon', 'lng', 'long'],
};

const DEGREES: readonly Unit[] = [
  { ending: 'deg', factor: DEGREE, words: 'degrees', spellings: ['°', 'degree', 'degrees'] },
];

const UNITS: Readonly<Record<Quantity, readonly Unit[]>> = {
  time: [
    { ending: 's', factor: 1, words: 'seconds', spellings: ['sec', 'secs', 'second', 'seconds'] },
    {
      ending: 'ms',
      factor: MILLI,
      words: 'milliseconds',
      spellings: ['msec', 'millisecond', 'milliseconds'],
    },
  ],
  speed: [
    {
      ending: 'kmh',
      factor: SPEED_UNITS.kmh,
      words: 'km/h',
      spellings: ['km/h', 'km_h', 'kph', 'kmph', 'km/hr', 'km_per_h'],
    },
    {
      ending: 'mph',
      factor: SPEED_UNITS.mph,
      words: 'miles per hour',
      spellings: ['mi/h', 'mile/h', 'miles/h', 'mi_per_h'],
    },
    {
      ending: 'm_per_s',
      factor: SPEED_UNITS.m_per_s,
      words: 'm/s',
      spellings: ['m/s', 'mps', 'm/sec'],
    },
    { ending: 'kn', factor: KNOT, words: 'knots', spellings: ['kt', 'kts', 'knot', 'knots'] },
  ],
  grade: [
    {
      ending: 'pct',
      factor: PERCENT,
      words: '% of the horizontal distance',
      spellings: ['%', 'percent', 'per cent'],
    },
    {
      ending: 'ratio',
      factor: 1,
      words: 'height over horizontal distance',
      spellings: ['-', 'm/m', 'tan'],
    },
  ],
  altitude: [
    {
      ending: 'm',
      factor: 1,
      words: 'metres above the sea',
      spellings: ['metre', 'metres', 'meter', 'meters'],
    },
    { ending: 'ft', factor: FOOT, words: 'feet above the sea', spellings: ['foot', 'feet'] },
  ],
  latitude: DEGREES,
  longitude: DEGREES,
};

/** What a header cell says. */
export interface HeaderName {
  /** The cell as it stands, without blanks around it. */
  readonly text: string;
  /** The quantity, if it is named. */
  readonly quantity: Quantity | undefined;
  /** What stands where a unit would, known or not: in brackets, or behind the name. */
  readonly unitText: string | undefined;
  /** The unit, if it is one of the quantity's. */
  readonly unit: Unit | undefined;
}

/** Longest header that is looked into. */
const LONGEST_HEADER = 200;
/** What stands behind the name of a quantity, and so short, is taken for a unit. */
const SHORT = 3;
/** Shorter names are met by chance: `t`, `v`, `alt` say what they mean only with a known unit. */
const SPEAKING = 5;

/**
 * Reads a header cell: a known name with its unit behind it (`speed_kmh`, `v_km/h`, `Speed km/h`)
 * or in brackets (`speed [km/h]`, `Speed (mph)`), or without a unit. Letter case does not matter,
 * nor whether words are joined by blanks, underscores, points, dashes or strokes.
 */
export function readHeaderName(cell: string): HeaderName {
  const text = cell.trim();
  if (text.length > LONGEST_HEADER) return unknown(text);
  const bracketed = splitBrackets(text);
  if (bracketed !== undefined) {
    const quantity = quantityNamed(bracketed.name);
    if (quantity === undefined) return unknown(text);
    const found = named(text, quantity, bracketed.unit === '' ? undefined : bracketed.unit);
    const clear = found.unit !== undefined || found.unitText === undefined;
    return clear || isSpeaking(bracketed.name, quantity) ? found : unknown(text);
  }
  const whole = quantityNamed(text);
  if (whole !== undefined) return named(text, whole, undefined);
  let known = unknown(text);
  for (const { name, tail } of splits(text)) {
    const quantity = quantityNamed(name);
    if (quantity === undefined) continue;
    const found = named(text, quantity, tail);
    if (found.unit !== undefined) return found;
    if (isSpeaking(name, quantity) && looksLikeUnit(quantity, tail)) known = found;
  }
  return known;
}

function unknown(text: string): HeaderName {
  return { text, quantity: undefined, unitText: undefined, unit: undefined };
}

function named(text: string, quantity: Quantity, unitText: string | undefined): HeaderName {
  const unit = unitText === undefined ? undefined : findUnit(quantity, unitText);
  return { text, quantity, unitText, unit };
}

function isSpeaking(name: string, quantity: Quantity): boolean {
  const plain = plainName(name);
  return plain === quantity || plain.length >= SPEAKING;
}

function looksLikeUnit(quantity: Quantity, tail: string): boolean {
  return tail.length <= SHORT || nearUnit(quantity, tail) !== undefined;
}

/** The unit of a quantity that a wrong one most likely means. */
export function nearUnit(quantity: Quantity, text: string): Unit | undefined {
  const written = text.trim().toLowerCase();
  return nearest(UNITS[quantity], (unit) =>
    Math.min(...[unit.ending, ...unit.spellings].map((spelling) => edits(written, spelling))),
  );
}

/** The quantity that a misspelt header most likely means, and its unit if the header has one. */
export function nearQuantity(
  header: string,
): { readonly quantity: Quantity; readonly unit: Unit | undefined } | undefined {
  if (header.length > LONGEST_HEADER) return undefined;
  const bracketed = splitBrackets(header);
  const parts =
    bracketed === undefined
      ? [...splits(header)].map(({ name, tail }) => ({ name, unit: tail }))
      : [bracketed];
  const distance = (quantity: Quantity, name: string): number =>
    Math.min(
      ...NAMES[quantity]
        .filter((known) => known.length >= SPEAKING || known === quantity)
        .map((known) => edits(plainName(name), known)),
    );
  for (const { name, unit: text } of parts) {
    const quantity = nearest(
      QUANTITIES.filter((candidate) => findUnit(candidate, text) !== undefined),
      (candidate) => distance(candidate, name),
    );
    if (quantity !== undefined) return { quantity, unit: findUnit(quantity, text) };
  }
  if (bracketed !== undefined) return undefined;
  const quantity = nearest(QUANTITIES, (candidate) => distance(candidate, header));
  return quantity === undefined ? undefined : { quantity, unit: undefined };
}

/** The candidate with the fewest edits, the first of several; none if all are too far. */
function nearest<T>(candidates: readonly T[], distance: (candidate: T) => number): T | undefined {
  let best: T | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  for (const candidate of candidates) {
    const edited = distance(candidate);
    if (edited < fewest) {
      best = candidate;
      fewest = edited;
    }
  }
  return best;
}

/** Edits between two texts, infinite if more than two or more than a third of the longer one. */
function edits(a: string, b: string): number {
  const allowed = Math.min(2, Math.floor(Math.max(a.length, b.length) / 3));
  if (Math.abs(a.length - b.length) > allowed) return Number.POSITIVE_INFINITY;
  const distance = editDistance(a, b);
  return distance <= allowed ? distance : Number.POSITIVE_INFINITY;
}

/**
 * A quantity's unit by any of its spellings.
 * @param text the unit, in brackets or without
 */
export function findUnit(quantity: Quantity, text: string): Unit | undefined {
  const written = (splitBrackets(text)?.unit ?? text).trim().toLowerCase();
  return UNITS[quantity].find(
    (unit) => unit.ending === written || unit.spellings.includes(written),
  );
}

/** The unit that a header of whatever name carries: `Geschw.[km/h]`, `vFzg_kmh`. */
export function unitInHeader(quantity: Quantity, header: string): Unit | undefined {
  if (header.length > LONGEST_HEADER) return undefined;
  const bracketed = splitBrackets(header);
  if (bracketed !== undefined) return findUnit(quantity, bracketed.unit);
  for (const { tail } of splits(header)) {
    const unit = findUnit(quantity, tail);
    if (unit !== undefined) return unit;
  }
  return undefined;
}

/** The units that a quantity may be in, the usual one first. */
export function unitsOf(quantity: Quantity): readonly Unit[] {
  return UNITS[quantity];
}

/** The header of a quantity in a unit as this program writes it: `speed_kmh`. */
export function usualHeader(quantity: Quantity, unit: Unit): string {
  return `${quantity}_${unit.ending}`;
}

/** All such headers of some quantities, for messages. */
export function usualHeaders(quantities: readonly Quantity[]): string {
  return quantities
    .flatMap((quantity) => UNITS[quantity].map((unit) => usualHeader(quantity, unit)))
    .join(', ');
}

function quantityNamed(name: string): Quantity | undefined {
  const plain = plainName(name);
  return QUANTITIES.find((quantity) => NAMES[quantity].includes(plain));
}

/** A name as names are compared: lower case, with underscores for whatever joins its words. */
export function plainName(name: string): string {
  return name
    .toLowerCase()
    .replace(/[\s_./-]+/g, '_')
    .replace(/^_|_$/g, '');
}

/** `speed [km/h]` or `Speed (mph)` as name and unit. */
export function splitBrackets(
  text: string,
): { readonly name: string; readonly unit: string } | undefined {
  const close = text.at(-1);
  if (close !== ']' && close !== ')') return undefined;
  const open = text.lastIndexOf(close === ']' ? '[' : '(');
  if (open < 0) return undefined;
  return { name: text.slice(0, open), unit: text.slice(open + 1, -1).trim() };
}

/** A header cut in two at each of its joints, from the left. */
export function* splits(text: string): Generator<{ readonly name: string; readonly tail: string }> {
  for (const joint of text.matchAll(/[\s_./-]+/g)) {
    yield { name: text.slice(0, joint.index), tail: text.slice(joint.index + joint[0].length) };
  }
}
