import { InputError, type Problem } from './problem.ts';

/** Path of a value inside JSON: keys and indices from the outermost object. */
export type JsonPath = readonly PropertyKey[];

/** A JSON text with the places of its values. */
export interface ParsedJson {
  readonly value: unknown;
  /** 1-based line of a value: of its key, where it has one; undefined where there is no value. */
  lineOf(path: JsonPath): number | undefined;
  /** Keys that stand twice in one object; `JSON.parse` would silently let the last one win. */
  readonly duplicates: readonly Problem[];
}

/**
 * Reads a JSON text.
 *
 * @param text the whole file
 * @param file its name for messages
 * @throws InputError with line and column where the text is no JSON
 */
export function parseJson(text: string, file: string): ParsedJson {
  const places = new JsonPlaces(text, file);
  places.read();
  return {
    value: JSON.parse(text),
    lineOf: (path) => places.lines.get(pathKey(path)),
    duplicates: places.duplicates,
  };
}

/** A path as people write it: `engine.full_load.speed_rpm[2]`. */
export function pathText(path: JsonPath): string {
  let text = '';
  for (const part of path) {
    if (typeof part === 'number') text += `[${part}]`;
    else text += text === '' ? String(part) : `.${String(part)}`;
  }
  return text;
}

/** A path as a key of the table of lines, its parts set off by NUL, which no sensible key holds. */
function pathKey(path: JsonPath): string {
  return path.map((part) => `\0${String(part)}`).join('');
}

const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
// Any character from the blank on, but the quotation mark and the backslash; or an escape.
const STRING = /"(?:[ !#-[\]-\u{10ffff}]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/uy;
const WORD = /[A-Za-z_$][\w$]*|[+.\d][\w.+]*/y;

/** Objects and lists within one another: no file of ours comes near. */
const MOST_LEVELS = 100;

/**
 * Walks through a JSON text, notes the line of every value, and stops with a message of its own
 * where the text breaks the grammar: those of `JSON.parse` differ from one version of the language
 * to the next, and often name no line.
 */
class JsonPlaces {
  readonly lines = new Map<string, number>();
  readonly duplicates: Problem[] = [];
  readonly #text: string;
  readonly #file: string;
  #at = 0;
  /** Line of the last place asked for, and the offset at which that line begins. */
  #line = 1;
  #lineStart = 0;

  constructor(text: string, file: string) {
    this.#text = text;
    this.#file = file;
  }

  read(): void {
    this.#value([]);
    this.#skipBlanks();
    if (this.#at < this.#text.length) {
      this.#fail('the end of the file', 'one object is all that a file holds');
    }
  }

  #value(path: JsonPath, keyLine?: number): void {
    this.#skipBlanks();
    if (path.length > MOST_LEVELS) this.#fail(`no more than ${MOST_LEVELS} levels`);
    this.lines.set(pathKey(path), keyLine ?? this.#lineHere());
    const next = this.#text[this.#at];
    if (next === '{') this.#object(path);
    else if (next === '[') this.#list(path);
    else if (next === '"') this.#string('a text');
    else if (!this.#take(NUMBER) && !['true', 'false', 'null'].some((word) => this.#takeWord(word)))
      this.#fail('a value: a number, a text in quotation marks, true, false, {…} or […]');
  }

  #object(path: JsonPath): void {
    this.#at++;
    this.#skipBlanks();
    if (this.#takeWord('}')) return;
    const first = new Map<string, number>();
    for (;;) {
      this.#skipBlanks();
      const line = this.#lineHere();
      const key = this.#string('a key in double quotation marks');
      const earlier = first.get(key);
      if (earlier === undefined) first.set(key, line);
      else this.#addDuplicate([...path, key], line, earlier);
      this.#skipBlanks();
      if (!this.#takeWord(':')) this.#fail('a colon between key and value');
      this.#value([...path, key], line);
      this.#skipBlanks();
      if (this.#takeWord('}')) return;
      if (!this.#takeWord(',')) this.#fail('a comma or a closing brace');
    }
  }

  #list(path: JsonPath): void {
    this.#at++;
    this.#skipBlanks();
    if (this.#takeWord(']')) return;
    for (let index = 0; ; index++) {
      this.#value([...path, index]);
      this.#skipBlanks();
      if (this.#takeWord(']')) return;
      if (!this.#takeWord(',')) this.#fail('a comma or a closing bracket');
    }
  }

  #string(expected: string): string {
    const text = this.#take(STRING);
    if (text === undefined) return this.#fail(expected);
    return JSON.parse(text) as string;
  }

  #take(pattern: RegExp): string | undefined {
    pattern.lastIndex = this.#at;
    const found = pattern.exec(this.#text)?.[0];
    if (found !== undefined) this.#at += found.length;
    return found;
  }

  #takeWord(word: string): boolean {
    if (!this.#text.startsWith(word, this.#at)) return false;
    this.#at += word.length;
    return true;
  }

  #skipBlanks(): void {
    while (' \t\r\n'.includes(this.#text[this.#at] ?? '-')) this.#at++;
  }

  #lineHere(): number {
    for (let i = this.#lineStart; i < this.#at; i++) {
      if (this.#text[i] === '\n') {
        this.#line++;
        this.#lineStart = i + 1;
      }
    }
    return this.#line;
  }

  #addDuplicate(path: JsonPath, line: number, earlier: number): void {
    this.duplicates.push({
      code: 'duplicate-key',
      file: this.#file,
      line,
      path: pathText(path),
      expected: `\`${String(path.at(-1))}\` once in its object; it stands already on line ${earlier}`,
      hint: 'leave one of the two out',
    });
  }

  #fail(expected: string, hint = this.#hintHere()): never {
    const line = this.#lineHere();
    throw new InputError([
      {
        code: 'broken-json',
        file: this.#file,
        line,
        path: `column ${this.#at - this.#lineStart + 1}`,
        found: this.#foundHere(),
        expected,
        ...(hint === undefined ? {} : { hint }),
      },
    ]);
  }

  #foundHere(): string {
    const next = this.#text[this.#at];
    if (next === undefined) return 'the end of the file';
    WORD.lastIndex = this.#at;
    return (
      WORD.exec(this.#text)?.[0] ?? (next === '\n' || next === '\r' ? 'the end of the line' : next)
    );
  }

  #hintHere(): string | undefined {
    const next = this.#text[this.#at];
    const before = this.#text.slice(0, this.#at).trimEnd().at(-1);
    if (next === undefined) return 'is a closing brace or bracket missing?';
    if (next === '/' || next === '#') return 'JSON has no comments: write remarks under "notes"';
    if ((next === '}' || next === ']') && before === ',') return 'leave out the comma before it';
    if (/\d/.test(next) && before === ',') return 'numbers take a decimal point, not a comma';
    if (next === "'" || next === '“' || next === '„')
      return 'JSON takes straight double quotation marks';
    if (next === '"') return 'does the text have its closing quotation mark on the same line?';
    if (/[+.\d]/.test(next)) return 'numbers are written as 12, 0.5 or 1.2e-3';
    return undefined;
  }
}
