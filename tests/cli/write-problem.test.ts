import { describe, expect, it } from 'vitest';
import { writeProblem } from '../../src/cli/write-problem.ts';

const ofSystem = (code: string) => Object.assign(new Error(), { code });

describe('why something could not be written', () => {
  it.each([
    ['ENOSPC', 'no space left on the device'],
    ['EFBIG', 'a file that would be larger than this system or its limit allows'],
    ['EISDIR', 'a folder'],
    ['EROFS', 'a place that may not be written'],
    ['ENAMETOOLONG', 'a name that is longer than this system takes'],
    ['EMFILE', 'too many open files (EMFILE)'],
    ['ENOENT', 'a place where the system lets nothing be made'],
  ])('is said in words for %s', (code, found) => {
    const problem = writeProblem(ofSystem(code), 'out.csv');
    expect(problem).toMatchObject({ code: 'cannot-write', file: 'out.csv', found });
    expect(problem.hint).toBeDefined();
  });

  it('says that a folder is not there only where it is not', () => {
    const { found } = writeProblem(ofSystem('ENOENT'), 'no/such/out.csv');
    expect(found).toBe('no folder `no/such`');
    const within = Object.assign(ofSystem('ENOENT'), { path: 'none/out/results.csv' });
    expect(writeProblem(within, 'none/out').found).toBe('no folder `none/out`');
  });

  it('names the error where there are no words for it', () => {
    expect(writeProblem(ofSystem('EIO'), 'out.csv').found).toBe('an error of the system (EIO)');
  });

  it('is no matter of the system where the program is at fault', () => {
    const defect = new TypeError('no function');
    expect(() => writeProblem(defect, 'out.csv')).toThrow(defect);
  });
});
