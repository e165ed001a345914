import sax from 'sax';
import { parseNumber } from '../config/number.ts';
import type { Problem } from '../config/problem.ts';
import { DEGREE } from '../config/units.ts';
import type { Drive } from './drive.ts';
import { DriveColumns } from './drive-columns.ts';
import type { CycleSource, LoggedDrive } from './drive-table.ts';
import { Instant } from './instant.ts';
import { PositionSpeeds } from './positions.ts';
import { ProblemList } from './problem-list.ts';
import type { UsedColumn } from './read-report.ts';
import { countOf } from './row-problems.ts';
import { inOrderOfTime, type Segment } from './segments.ts';
import { encode } from './utf8.ts';

/** So many characters are parsed at once, whatever the pieces that they come in. */
const PIECE_LENGTH = 1 << 15;
/** Longest text of an element that is read; no number and no time is longer. */
const MAX_TEXT = 100;
/** A track point lies four elements deep, its extensions a few more. */
const MAX_DEPTH = 64;
const MAX_ATTRIBUTES = 1000;

/** The parts of a track point that are read: its own elements, and a speed of its extensions. */
type Field = 'ele' | 'time' | 'speed';

/** The attributes of an element, so far as they are read. */
interface Attributes {
  readonly lat?: string;
  readonly lon?: string;
}

/**
 * Reads the tracks of a GPX file (GPX 1.1, the public schema of topografix.com): latitude and
 * longitude of the points, their `ele` [m] and `time`, which is in UTC unless it says another zone.
 * A speed [m/s] is taken from an element of that name within the point, its extensions included, if
 * every other point has one at least, else from the positions. The segments of all tracks make one
 * drive in order of time, with a gap between two of them.
 */
export class GpxReader {
  readonly #source: CycleSource;
  readonly #problems: ProblemList;
  readonly #decoder = new TextDecoder();
  readonly #parser = sax.parser(true);
  #unparsed = '';

  readonly #columns: DriveColumns;
  readonly #positions: PositionSpeeds;
  readonly #instant = new Instant();
  #firstSeconds: number | undefined;
  #firstNanos = 0;
  #start = '';
  /** Speeds of the points' own [m/s]; NaN where a point has none. */
  readonly #ownSpeeds: number[] = [];
  readonly #segments: Segment[] = [];
  #isNewSegment = true;
  #tracks = 0;
  #others = 0;
  #noFix = 0;
  #missingAltitudes = 0;
  #missingSpeeds = 0;

  #depth = 0;
  #attributes = 0;
  /** Depth of the track point in progress, 0 outside of one. */
  #pointDepth = 0;
  #pointLine = 0;
  #field: Field | undefined;
  #fieldDepth = 0;
  #text = '';
  #latitude = Number.NaN;
  #longitude = Number.NaN;
  #altitude = Number.NaN;
  #speed = Number.NaN;
  #time = Number.NaN;
  #hasTime = false;

  constructor(source: CycleSource) {
    this.#source = source;
    this.#problems = new ProblemList(source.file);
    this.#columns = new DriveColumns(source.file, true, false);
    this.#positions = new PositionSpeeds((row, speed) => this.#columns.setSpeed(row, speed));
    this.#parser.onattribute = () => this.#countAttribute();
    this.#parser.onopentag = (tag) => this.#open(tag.name, tag.attributes as Attributes);
    this.#parser.ontext = (text) => this.#addText(text);
    this.#parser.oncdata = (text) => this.#addText(text);
    this.#parser.onclosetag = (name) => this.#close(localName(name));
    this.#parser.onerror = (error) => this.#breakOff(error.message.split('\n')[0]!);
  }

  /**
   * Takes the next piece of the file.
   * @throws InputError where nothing can be read of what follows
   */
  push(bytes: Uint8Array): void {
    this.#unparsed += this.#decoder.decode(bytes, { stream: true });
    let from = 0;
    for (; this.#unparsed.length - from >= PIECE_LENGTH; from += PIECE_LENGTH) {
      this.#parser.write(this.#unparsed.slice(from, from + PIECE_LENGTH));
    }
    this.#unparsed = this.#unparsed.slice(from);
  }

  /**
   * The file ends here.
   * @throws InputError with every problem of the file
   */
  end(): LoggedDrive {
    this.#parser.write(this.#unparsed + this.#decoder.decode()).close();
    const rows = this.#columns.count;
    if (this.#problems.isEmpty && rows < 2) this.#problems.add(1, this.#tooFewPoints(rows));
    this.#problems.throwIfAny();
    this.#positions.breakOff();
    return this.#logged();
  }

  #countAttribute(): void {
    if (++this.#attributes > MAX_ATTRIBUTES) this.#breakOff('an element with too many attributes');
  }

  #open(qualified: string, attributes: Attributes): void {
    const name = localName(qualified);
    this.#depth++;
    this.#attributes = 0;
    if (this.#depth > MAX_DEPTH) this.#breakOff('elements nested too deep');
    if (this.#depth === 1 && name !== 'gpx') this.#refuseRoot(name);
    if (this.#pointDepth > 0) {
      const isOwn = this.#depth === this.#pointDepth + 1;
      if (name === 'speed' || (isOwn && (name === 'ele' || name === 'time'))) {
        this.#field = name;
        this.#fieldDepth = this.#depth;
        this.#text = '';
      }
      return;
    }
    if (name === 'trk') this.#tracks++;
    else if (name === 'trkseg') this.#beginSegment();
    else if (name === 'rtept' || name === 'wpt') this.#others++;
    else if (name === 'trkpt') this.#beginPoint(attributes);
  }

  #refuseRoot(name: string): void {
    this.#problems.add(this.#line(), {
      code: 'not-gpx',
      found: `<${name}>`,
      expected: 'a GPX file, whose outermost element is <gpx>, or a table in text form',
      hint: 'of the files in XML only GPX is read: export the log as GPX or CSV',
    });
    this.#problems.throwIfAny();
  }

  #beginSegment(): void {
    this.#isNewSegment = true;
    this.#positions.breakOff();
  }

  #beginPoint(attributes: Attributes): void {
    this.#pointDepth = this.#depth;
    this.#pointLine = this.#line();
    this.#field = undefined;
    this.#altitude = Number.NaN;
    this.#speed = Number.NaN;
    this.#hasTime = false;
    this.#latitude = this.#angle('lat', attributes.lat, 90);
    this.#longitude = this.#angle('lon', attributes.lon, 180);
  }

  #angle(name: string, text: string | undefined, limit: number): number {
    const degrees = parseNumber(text ?? '');
    if (degrees !== undefined && Math.abs(degrees) <= limit) return degrees * DEGREE;
    this.#problems.add(this.#line(), {
      code: degrees === undefined ? 'not-a-number' : 'out-of-range',
      path: `trkpt ${name}`,
      found: text ?? '',
      expected: `a number of degrees between -${limit} and ${limit}`,
    });
    return Number.NaN;
  }

  #addText(text: string): void {
    if (this.#field !== undefined && this.#text.length <= MAX_TEXT) {
      this.#text += text.slice(0, MAX_TEXT + 1);
    }
  }

  #close(name: string): void {
    if (this.#field !== undefined && this.#depth === this.#fieldDepth) {
      this.#take(this.#field, this.#text.trim());
      this.#field = undefined;
    } else if (name === 'trkpt' && this.#depth === this.#pointDepth) {
      this.#endPoint();
      this.#pointDepth = 0;
    } else if (name === 'trkseg' && this.#pointDepth === 0) {
      this.#beginSegment();
    }
    this.#depth--;
  }

  #take(field: Field, text: string): void {
    if (field === 'time') {
      this.#hasTime = true;
      this.#time = this.#since(text);
      return;
    }
    if (text === '') return;
    const value = parseNumber(text);
    if (value === undefined) {
      this.#problems.add(this.#line(), {
        code: 'not-a-number',
        path: field,
        found: text,
        expected: 'a number with a decimal point, such as 12.5',
      });
    } else if (field === 'ele') {
      this.#altitude = value;
    } else {
      this.#speed = value;
    }
  }

  /** Time [s] since the first instant. */
  #since(text: string): number {
    const bytes = encode(text);
    if (!this.#instant.readDateTime(bytes, 0, bytes.length)) {
      this.#problems.add(this.#line(), {
        code: 'not-a-time',
        path: 'time',
        found: text,
        expected: 'a date with time, such as 2024-05-01T08:00:00Z',
      });
      return Number.NaN;
    }
    if (this.#firstSeconds === undefined) {
      this.#firstSeconds = this.#instant.seconds;
      this.#firstNanos = this.#instant.nanos;
      this.#start = text;
    }
    return this.#instant.since(this.#firstSeconds, this.#firstNanos);
  }

  #endPoint(): void {
    if (!this.#hasTime) {
      this.#problems.add(this.#pointLine, {
        code: 'missing-time',
        path: 'trkpt',
        expected: 'a <time> in every track point',
        hint: 'a planned route has no times, so that nothing is known of its speeds: only what was driven and logged can be read',
      });
    }
    if (!this.#problems.isEmpty) return;
    const row = this.#columns.count;
    if (this.#isNewSegment) this.#segments.push({ firstRow: row, end: row, start: this.#time });
    this.#isNewSegment = false;
    this.#segments.at(-1)!.end = row + 1;
    this.#columns.add(this.#pointLine, this.#time, Number.NaN, this.#altitude, Number.NaN);
    this.#ownSpeeds.push(this.#speed);
    if (Number.isNaN(this.#altitude)) this.#missingAltitudes++;
    if (Number.isNaN(this.#speed)) this.#missingSpeeds++;
    if (this.#latitude === 0 && this.#longitude === 0) this.#noFix++;
    else this.#positions.add(row, this.#time, this.#latitude, this.#longitude);
  }

  #line(): number {
    return this.#parser.line + 1;
  }

  /** The text stops being XML; what follows cannot be read. */
  #breakOff(found: string): void {
    this.#problems.add(this.#line(), {
      code: 'broken-xml',
      found,
      expected: 'a GPX file in well-formed XML',
      hint: 'is the file complete? Nothing after this was read',
    });
    this.#problems.throwIfAny();
  }

  #tooFewPoints(rows: number): Problem {
    return {
      code: 'too-few-rows',
      found: countOf(rows, 'track point'),
      expected: 'two track points at least, <trkpt> with lat, lon and <time>',
      ...(this.#others === 0
        ? {}
        : {
            hint: 'this file has waypoints or a planned route: only what was driven and logged, a track, can be read',
          }),
    };
  }

  #logged(): LoggedDrive {
    const rows = this.#columns.count;
    const isOwn = 2 * this.#missingSpeeds <= rows;
    if (isOwn)
      for (const [row, speed] of this.#ownSpeeds.entries()) this.#columns.setSpeed(row, speed);
    const raw = this.#columns.drive(this.#source.name, isOwn ? 'column' : 'positions');
    const sorted = inOrderOfTime(raw, this.#segments);
    const hasAltitude = this.#missingAltitudes < rows;
    return {
      drive: hasAltitude ? sorted : withoutAltitude(sorted),
      report: {
        form: 'gpx',
        rows,
        headerLine: 1,
        columns: this.#usedColumns(isOwn, hasAltitude),
        ignored: [],
        comments: 0,
        blanks: 0,
        start: this.#start,
        noFix: this.#noFix,
        tracks: {
          tracks: this.#tracks,
          segments: this.#segments.length,
          sorted: sorted !== raw,
        },
      },
    };
  }

  #usedColumns(isOwn: boolean, hasAltitude: boolean): UsedColumn[] {
    const time: UsedColumn = {
      quantity: 'time',
      header: 'time',
      unit: 'date with time and zone',
      missing: 0,
    };
    const speed: UsedColumn = {
      quantity: 'speed',
      header: 'speed',
      unit: 'm/s',
      missing: this.#missingSpeeds,
    };
    const latitude: UsedColumn = {
      quantity: 'latitude',
      header: 'lat',
      unit: 'degrees',
      missing: 0,
    };
    const longitude: UsedColumn = { ...latitude, quantity: 'longitude', header: 'lon' };
    const altitude: UsedColumn = {
      quantity: 'altitude',
      header: 'ele',
      unit: 'metres above the sea',
      missing: this.#missingAltitudes,
    };
    return [time, ...(isOwn ? [speed] : [latitude, longitude]), ...(hasAltitude ? [altitude] : [])];
  }
}

/** `speed` for `x:speed`. */
function localName(name: string): string {
  return name.slice(name.indexOf(':') + 1);
}

function withoutAltitude({ altitude, ...rest }: Drive): Drive {
  return rest;
}
