import { afterEach, describe, expect, it, vi } from 'vitest';
import { exitStatus } from '../../src/cli/exit-status.ts';

const told = vi.hoisted(() => ({ text: '' }));

vi.mock(import('../../src/cli/streams.ts'), async (original) => ({
  ...(await original()),
  writeErr: (text: string) => {
    told.text += text;
  },
}));

afterEach(() => {
  told.text = '';
});

describe('how a command ends', () => {
  it.each(['EMFILE', 'ENFILE'])(
    'is no defect where the system lets no more files be opened (%s)',
    (code) => {
      const error = Object.assign(new Error(`${code}: too many open files`), { code });
      expect(exitStatus(error)).toBe(2);
      expect(told.text).toContain(`found too many open files (${code})`);
      expect(told.text).toContain('ulimit -n');
    },
  );

  it.each([new TypeError('no function'), Object.assign(new Error('EIO'), { code: 'EIO' }), null])(
    'is a defect with any other error that nobody has words for: %s',
    (error) => {
      expect(exitStatus(error)).toBe(1);
      expect(told.text).toContain('a defect of spinledger');
    },
  );
});
