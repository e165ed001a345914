import { describe, expect, it } from 'vitest';
import { parseNumber } from '../../src/config/number.ts';

describe('parseNumber', () => {
  it.each([
    ['0', 0],
    ['12.5', 12.5],
    ['-3', -3],
    ['+4.25', 4.25],
    ['.5', 0.5],
    ['5.', 5],
    ['1e3', 1000],
    ['2.5E-3', 0.0025],
    ['  7 ', 7],
    ['\t7\r', 7],
    ['007', 7],
    ['0.1', 0.1],
    ['1.7976931348623157e308', Number.MAX_VALUE],
  ])('reads %j as %d', (text, value) => {
    expect(parseNumber(text)).toBe(value);
  });

  it.each([
    '',
    '   ',
    '12abc',
    'abc',
    'NaN',
    'Infinity',
    '-Infinity',
    '0x10',
    '0b1',
    '1,5',
    '1.5.2',
    '1 000',
    '1_000',
    '--1',
    '+-1',
    '.',
    '-',
    'e5',
    '1e',
    '1e+',
    '1e999',
    '١٢',
    '12 km/h',
    'null',
    'true',
  ])('refuses %j', (text) => {
    expect(parseNumber(text)).toBeUndefined();
  });
});
