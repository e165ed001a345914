import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parseJson, pathText } from '../../src/config/json.ts';
import { InputError } from '../../src/config/problem.ts';
import { EXAMPLES } from './drafts.ts';

function refusal(text: string) {
  try {
    parseJson(text, 'x.json');
  } catch (error) {
    if (error instanceof InputError) return error.problems[0];
    throw error;
  }
  throw new Error(`${text} should be refused`);
}

describe('parseJson', () => {
  it('reads what JSON.parse reads, on every file of the example set', () => {
    const files = readdirSync(EXAMPLES, { recursive: true, encoding: 'utf8' });
    const texts = files
      .filter((name) => name.endsWith('.json'))
      .map((name) => readFileSync(join(EXAMPLES, name), 'utf8'));
    expect(texts.length).toBeGreaterThan(10);
    for (const text of texts) expect(parseJson(text, 'x').value).toEqual(JSON.parse(text));
  });

  it.each([
    '{}',
    ' [ ] ',
    '"\\u00e9\\n\\"\\\\"',
    '-0',
    '1e-3',
    '1E+10',
    'true',
    'null',
    '{"":[{},[[]],"ä€😀"]}',
    '\r\n\t{"a"\n:\n1}\n',
  ])('accepts %j as JSON.parse does', (text) => {
    expect(parseJson(text, 'x').value).toEqual(JSON.parse(text));
  });

  it('knows the line of every value, by its key', () => {
    const { lineOf } = parseJson('{\n"a": {\n\n"b": [1,\n2]\n},\r\n"c":\n3}', 'x');
    expect(lineOf([])).toBe(1);
    expect(lineOf(['a'])).toBe(2);
    expect(lineOf(['a', 'b'])).toBe(4);
    expect(lineOf(['a', 'b', 0])).toBe(4);
    expect(lineOf(['a', 'b', 1])).toBe(5);
    expect(lineOf(['c'])).toBe(7);
    expect(lineOf(['nothing'])).toBeUndefined();
  });

  it.each([
    ['{\n  "a": 1,\n  "b": 2,\n}', 4, 'column 1', '}', 'leave out the comma before it'],
    ['{"a": 1,5}', 1, 'column 9', '5', 'numbers take a decimal point, not a comma'],
    ['{\n  // mass\n  "a": 1}', 2, 'column 3', '/', 'JSON has no comments'],
    ["{'a': 1}", 1, 'column 2', "'", 'straight double quotation marks'],
    ['{"a": .5}', 1, 'column 7', '.5', 'numbers are written as'],
    ['{"a": 05}', 1, 'column 8', '5', 'numbers are written as'],
    ['{"a": "x\n"}', 1, 'column 7', '"', 'closing quotation mark on the same line'],
    ['{"a": [1, 2', 1, 'column 12', 'the end of the file', 'closing brace or bracket missing'],
    ['{"a": 1} b', 1, 'column 10', 'b', 'one object is all that a file holds'],
  ])('says where and how to mend %j', (text, line, path, found, hint) => {
    const problem = refusal(text);
    expect(problem).toMatchObject({ code: 'broken-json', file: 'x.json', line, path, found });
    expect(problem?.hint).toContain(hint);
  });

  it.each([
    '{a: 1}',
    '{"a": NaN}',
    '{"a" 1}',
    '{"a": 1 "b": 2}',
    '',
    '{"a": "\\x"}',
    '+1',
    '{"a":}',
  ])('refuses %j, as JSON.parse does', (text) => {
    expect(() => JSON.parse(text)).toThrow(SyntaxError);
    expect(refusal(text)?.code).toBe('broken-json');
  });

  it('refuses lists within lists without end instead of running out of stack', () => {
    expect(refusal('['.repeat(200_000))?.expected).toContain('levels');
    expect(refusal('{"a":'.repeat(200_000))?.expected).toContain('levels');
  });

  it('reports each key that stands twice in its object, with both lines', () => {
    const { duplicates } = parseJson(
      '{\n"a": {"x": 1},\n"b": {"x": 2, "x": 3},\n"a": 4}',
      'x.json',
    );
    expect(duplicates).toMatchObject([
      { code: 'duplicate-key', line: 3, path: 'b.x' },
      { code: 'duplicate-key', line: 4, path: 'a' },
    ]);
    expect(duplicates[1]?.expected).toContain('line 2');
  });
});

describe('pathText', () => {
  it('writes keys with dots and indices in brackets', () => {
    expect(pathText(['engine', 'full_load', 'speed_rpm', 2])).toBe('engine.full_load.speed_rpm[2]');
    expect(pathText([])).toBe('');
  });
});
