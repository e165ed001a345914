import { parseNumber } from '../config/number.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { cut, join, repeat, scaleSpeed } from './compose.ts';
import type { Trace } from './trace.ts';

/**
 * Several cycles in one text, wherever a cycle is named:
 *
 *     2*udds + wltc-class3b[0..589] + 'my drive.csv'@0.95
 *
 * Parts are joined by ` + ` with blanks on both sides. Of a part all but the name may be left out:
 *
 *     [N*] NAME [ '[' [from] '..' [to] ']' ] [ '@' factor ]
 *
 * - `N*` drives the part N times in a row
 * - `[from..to]` cuts it, in seconds of its own clock; a side left out is its start or end
 * - `@factor` multiplies its speeds
 *
 * A cut comes before the factor, and both before the repetition. A name with a bracket, an @ or a
 * blank-plus-blank stands in quotation marks, single or double.
 */
export interface Composition {
  /** What the user wrote. */
  readonly text: string;
  readonly parts: readonly CompositionPart[];
}

/** One part of a composition. */
export interface CompositionPart {
  /** Name of a cycle or file. */
  readonly name: string;
  /** What the user wrote for this part … */
  readonly text: string;
  /** … and for driving it once. */
  readonly once: string;
  readonly times: number;
  /** First and last instant [s]; left out where the part begins or ends with its cycle. */
  readonly from?: number;
  readonly to?: number;
  /** Of every speed. */
  readonly factor: number;
}

/** More repetitions than this are taken for a slip of the finger. */
const MOST_TIMES = 1000;
/** Speed factors outside of these are. */
const LEAST_FACTOR = 0.01;
const GREATEST_FACTOR = 100;

const GRAMMAR =
  "parts such as `2*udds`, `wltc-class3b[0..589]` or `'my drive.csv'@0.95`, joined by ` + `";

/**
 * Reads a composition.
 *
 * @param text what the user wrote; a plain name is a composition of one part
 * @returns its parts
 * @throws InputError that says at which character, counted from 1, it cannot be understood
 */
export function parseComposition(text: string): Composition {
  const parser = new Parser(text);
  const parts = [parser.part()];
  while (!parser.atEnd()) {
    parser.plus();
    parts.push(parser.part());
  }
  return { text: text.trim(), parts };
}

/**
 * Puts the cycles of a composition together. A plain name gives the very trace that bears it.
 *
 * @param composition as it was read
 * @param traceOf the trace of a name; called once for each name
 * @returns one trace, named as the user wrote it
 * @throws InputError for a cut outside of its cycle, and for speeds that do not agree at a seam
 */
export function compose(composition: Composition, traceOf: (name: string) => Trace): Trace {
  const { parts, text } = composition;
  const traces = new Map<string, Trace>();
  for (const { name } of parts) if (!traces.has(name)) traces.set(name, traceOf(name));
  const pieces = parts.map((part) => pieceOf(part, traces.get(part.name)!));
  const [only] = pieces;
  if (pieces.length > 1 || only === undefined) return join(pieces, text);
  return only === traces.get(parts[0]!.name) ? only : { ...only, name: text };
}

function pieceOf(part: CompositionPart, whole: Trace): Trace {
  let trace = whole;
  if (part.from !== undefined || part.to !== undefined) {
    const { time } = trace;
    trace = cut(trace, part.from ?? time[0]!, part.to ?? time[time.length - 1]!);
  }
  if (part.factor !== 1) trace = scaleSpeed(trace, part.factor);
  // Messages about a seam name the part as it was written.
  if (trace !== whole) trace = { ...trace, name: part.once };
  return part.times === 1 ? trace : repeat(trace, part.times, part.text);
}

class Parser {
  readonly #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  atEnd(): boolean {
    this.#skipBlanks();
    return this.#at === this.#text.length;
  }

  plus(): void {
    if (this.#text[this.#at] === '+') this.#at++;
    else this.#refuse(this.#at, 'the end, or ` + ` and another part', NAME_IN_QUOTES);
  }

  part(): CompositionPart {
    this.#skipBlanks();
    const start = this.#at;
    const times = this.#times();
    const once = this.#at;
    const name = this.#name();
    const range = this.#range();
    const factor = this.#factor();
    const written = (from: number): string => this.#text.slice(from, this.#at).trim();
    return { name, text: written(start), once: written(once), times, ...range, factor };
  }

  #times(): number {
    const count = /^([^\s'"*[\]@+]*)\s*\*\s*/.exec(this.#rest());
    if (count === null) return 1;
    const times = parseNumber(count[1]!);
    const whole = times !== undefined && /^\d+$/.test(count[1]!) && times >= 1;
    if (!whole || times > MOST_TIMES) {
      this.#refuse(
        this.#at,
        `a whole number from 1 to ${MOST_TIMES} before the \`*\``,
        NAME_IN_QUOTES,
      );
    }
    this.#at += count[0].length;
    return times;
  }

  #name(): string {
    const start = this.#at;
    const quote = this.#text[start];
    if (quote === "'" || quote === '"') {
      const end = this.#text.indexOf(quote, start + 1);
      if (end === -1) this.#refuse(start, `a closing ${quote} behind the name`);
      this.#at = end + 1;
      const name = this.#text.slice(start + 1, end);
      if (name.trim() === '') this.#refuse(start, 'a name between the quotation marks');
      return name;
    }
    const bare = /^(?:(?!\s\+(?:\s|$))[^[\]@])*/.exec(this.#rest())![0];
    this.#at += bare.length;
    const name = bare.trim();
    if (name === '' || /^\+(?:\s|$)/.test(name)) {
      this.#refuse(start, 'the name of a cycle or file');
    }
    return name;
  }

  #range(): { from?: number; to?: number } {
    this.#skipBlanks();
    if (this.#text[this.#at] !== '[') return {};
    const start = this.#at;
    const end = this.#text.indexOf(']', start);
    if (end === -1)
      this.#refuse(start, 'a closing `]` behind the seconds of a cut', NAME_IN_QUOTES);
    this.#at = end + 1;
    const bounds = this.#text.slice(start + 1, end).split('..');
    const [from, to] = bounds.map((bound) => parseNumber(bound));
    const [fromText, toText] = bounds.map((bound) => bound.trim());
    const read =
      bounds.length === 2 &&
      (from !== undefined || fromText === '') &&
      (to !== undefined || toText === '');
    if (!read)
      this.#refuse(start, 'seconds such as `[0..589]`, `[590..]` or `[..589]`', NAME_IN_QUOTES);
    if (from !== undefined && to !== undefined && from >= to) {
      this.#refuse(start, 'a cut whose first second is before its last');
    }
    return { ...(from !== undefined && { from }), ...(to !== undefined && { to }) };
  }

  #factor(): number {
    this.#skipBlanks();
    if (this.#text[this.#at] !== '@') return 1;
    const start = this.#at;
    const text = /^@\s*([^\s+]*)/.exec(this.#rest())!;
    const factor = parseNumber(text[1]!);
    if (factor === undefined || factor < LEAST_FACTOR || factor > GREATEST_FACTOR) {
      this.#refuse(
        start,
        `a speed factor from ${LEAST_FACTOR} to ${GREATEST_FACTOR} behind the \`@\`, such as \`@0.95\``,
        NAME_IN_QUOTES,
      );
    }
    this.#at += text[0].length;
    return factor;
  }

  #rest(): string {
    return this.#text.slice(this.#at);
  }

  #skipBlanks(): void {
    this.#at += /^\s*/.exec(this.#rest())![0].length;
  }

  #refuse(at: number, expected: string, hint: string = GRAMMAR_HINT): never {
    const problem: Problem = {
      code: 'composition',
      path: `character ${at + 1}`,
      found: at < this.#text.length ? this.#text.slice(at) : 'nothing more',
      expected,
      hint,
    };
    throw new InputError([problem]);
  }
}

const GRAMMAR_HINT = `a cycle is made of ${GRAMMAR}`;
const NAME_IN_QUOTES = `a name with special characters stands in quotation marks; otherwise a cycle is made of ${GRAMMAR}`;
