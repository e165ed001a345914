import { describe, expect, it } from 'vitest';
import { writeProblem } from '../../src/cli/write-problem.ts';

const ofSystem = (code: string) => Object.assign(new Error(), { code });

describe('why something could not be written', () => {
  it.each([
    ['ENOSPC', 'no space left on the device'],
    ['EFBIG', 'a file that would be larger than this system or its limit allows'],
    ['EISDIR', 'a folder'],
    ['EROFS', 'a place that may not be written'],
  ])('is said in words for %s', (code, found) => {
    const problem = writeProblem(ofSystem(code), 'out.csv');
    expect(problem).toMatchObject({ code: 'cannot-write', file: 'out.csv', found });
    expect(problem.hint).toBeDefined();
  });

  it('names the error where there are no words for it', () => {
    expect(writeProblem(ofSystem('EIO'), 'out.csv').found).toBe('an error of the system (EIO)');
  });

  it('is no matter of the system where the program is at fault', () => {
    const defect = new TypeError('no function');
    expect(() => writeProblem(defect, 'out.csv')).toThrow(defect);
  });
});
