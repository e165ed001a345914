import { describe, expect, it } from 'vitest';
import * as library from '../../src/index.ts';
import { spinledger } from './program.ts';

describe('the library', () => {
  it('gives what the program prints', async () => {
    const loaded = await library.loadCase({
      car: 'examples/cars/compact.json',
      store: 'examples/stores/stepped.json',
      strategy: 'assist-stop',
      cycle: 'nycc',
    });
    const result = library.runCase(loaded.subject);
    const names = ['--car', 'compact', '--store', 'stepped', '--strategy', 'assist-stop'];
    const args = ['run', ...names, '--cycle', 'nycc', '--format', 'json'];
    expect(library.jsonText(library.summariseLoaded(loaded, result))).toBe(
      spinledger(0, args).stdout,
    );
  });

  it('tells what is wrong with an input as data', async () => {
    const found: unknown = await library.loadCar('no-such-car.json').catch((error) => error);
    if (!(found instanceof library.InputError)) throw new Error('the car was taken');
    expect(found.problems.map((problem) => problem.code)).toEqual(['no-file']);
    expect(library.problemsText(found.problems)).toMatch(/^no-such-car\.json: found no such file/);
  });
});
