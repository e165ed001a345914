import { InvalidArgumentError } from 'commander';
import { parseNumber } from '../config/number.ts';

/** Reads a number of an option, within bounds. */
export function number(min: number, max: number, unit: string): (text: string) => number {
  return (text) => {
    const value = parseNumber(text);
    if (value !== undefined && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`Expected a number from ${min} to ${max} (${unit}).`);
  };
}
