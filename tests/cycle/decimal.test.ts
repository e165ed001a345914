import { describe, expect, it } from 'vitest';
import { parseNumber } from '../../src/config/number.ts';
import { decimalIn } from '../../src/cycle/decimal.ts';
import { oneOf, seeded } from '../seeded.ts';

const POINT = 46;
const COMMA = 44;
const encoder = new TextEncoder();

function decimal(text: string, point = POINT): number {
  const bytes = encoder.encode(`9${text}9`);
  return decimalIn(bytes, 1, bytes.length - 1, point);
}

function digits(random: () => number, most: number): string {
  const count = Math.floor((most + 1) * random());
  return Array.from({ length: count }, () => Math.floor(10 * random())).join('');
}

describe('decimalIn', () => {
  it('gives the very double that Number gives, for 200 000 random decimals', () => {
    const random = seeded(21);
    let wrong = 0;
    let numbers = 0;
    for (let trial = 0; trial < 200_000; trial++) {
      const sign = oneOf(random, ['', '', '-', '+']);
      const point = random() < 0.8 ? '.' : '';
      const exponent =
        random() < 0.1 ? `e${oneOf(random, ['', '-', '+'])}${Math.floor(40 * random())}` : '';
      const text = `${sign}${digits(random, 12)}${point}${digits(random, 10)}${exponent}`;
      const expected = parseNumber(text) ?? Number.NaN;
      if (!Object.is(decimal(text), expected)) wrong++;
      if (!Object.is(decimal(text.replace('.', ','), COMMA), expected)) wrong++;
      if (!Number.isNaN(expected)) {
        numbers++;
        if (!Object.is(expected, Number(text))) wrong++;
      }
    }
    expect(wrong).toBe(0);
    expect(numbers).toBeGreaterThan(150_000);
  });

  it('gives the double of each double written out, to the last bit', () => {
    const random = seeded(22);
    let wrong = 0;
    for (let trial = 0; trial < 100_000; trial++) {
      const value = (random() - 0.5) * 10 ** Math.floor(20 * random() - 6);
      if (!Object.is(decimal(String(value)), value)) wrong++;
    }
    expect(wrong).toBe(0);
  });

  it.each([
    '0',
    '-0',
    '1.',
    '.5',
    '999999999999999',
    '9999999999999999',
    '0.1',
    '1e3',
    '9007199254740993',
  ])('reads %s as Number does', (text) => {
    expect(decimal(text)).toBe(Number(text));
  });

  it.each([
    '',
    '.',
    '-',
    '+.',
    '1.2.3',
    '1,2',
    '1e',
    '0x10',
    'NaN',
    'Infinity',
    '1e999',
    '12abc',
    '--1',
    '1 2',
    '１',
  ])('takes %j for no number', (text) => {
    expect(decimal(text)).toBeNaN();
  });

  it('takes a point for no decimal comma, nor both', () => {
    expect(decimal('12,5', COMMA)).toBe(12.5);
    expect(decimal('-,5e1', COMMA)).toBe(-5);
    expect(decimal('12.5', COMMA)).toBeNaN();
    expect(decimal('1.234,5', COMMA)).toBeNaN();
    expect(decimal('1,234,5', COMMA)).toBeNaN();
  });
});
