import { describe, expect, it } from 'vitest';
import { colourLevel } from '../../src/cli/colour.ts';
import { spinledger } from './program.ts';

describe('the colour of a stream', () => {
  it.each([
    ['a pipe', false, {}, 0],
    ['a terminal', true, { TERM: 'xterm' }, 1],
    ['a terminal of 256 colours', true, { TERM: 'xterm-256color' }, 2],
    ['a terminal of all colours', true, { TERM: 'xterm', COLORTERM: 'truecolor' }, 3],
    ['a terminal that has none', true, { TERM: 'dumb' }, 0],
    ['a terminal under NO_COLOR', true, { TERM: 'xterm', NO_COLOR: '1' }, 0],
    ['a terminal under an empty NO_COLOR', true, { TERM: 'xterm', NO_COLOR: '' }, 1],
    ['a pipe under FORCE_COLOR', false, { FORCE_COLOR: '' }, 1],
    ['a pipe under FORCE_COLOR=2', false, { FORCE_COLOR: '2' }, 2],
    ['a pipe under FORCE_COLOR=3', false, { FORCE_COLOR: '3', NO_COLOR: '1' }, 3],
    ['a terminal under FORCE_COLOR=0', true, { TERM: 'xterm', FORCE_COLOR: '0' }, 0],
  ])('of %s is right', (_name, terminal, environment, level) => {
    expect(colourLevel(terminal, environment)).toBe(level);
  });
});

describe('a painted summary', () => {
  it('says what the plain one says, and nothing twice', () => {
    const plain = spinledger(0, ['run', '--cycle', 'nycc']).stdout;
    const painted = spinledger(0, ['run', '--cycle', 'nycc'], { env: { FORCE_COLOR: '1' } }).stdout;
    const sequence = new RegExp(`${String.fromCharCode(27)}\\[\\d+m`, 'g');
    expect(painted).toMatch(sequence);
    expect(painted.replaceAll(sequence, '')).toBe(plain);
  });
});
