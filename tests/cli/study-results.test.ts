import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type StudyResults, writeResults, writeTable } from '../../src/cli/study-results.ts';
import { doneRecord } from '../study/records.ts';
import { emptyFolder } from '../study/results.ts';

const MANY = 3000;
const RECORD = JSON.stringify(doneRecord());

/** Results of very many cases, which count how many of them are asked for; a signal comes soon. */
class Interrupted {
  taken = 0;
  readonly results: StudyResults;

  /** @param from first record before which the signal comes */
  constructor(from: number) {
    const counted = this;
    this.results = {
      *records() {
        for (let k = 0; k < MANY; k++) {
          counted.taken++;
          if (counted.taken === from) setImmediate(() => process.emit('SIGINT', 'SIGINT'));
          yield RECORD;
        }
      },
      shape: { varied: [], explain: false, bound: false },
      cycleShares: null,
      manifest: () => {
        throw new Error('results are whole though they were interrupted');
      },
    };
  }
}

describe('the results of very many cases', () => {
  it.each([
    ['records', 100],
    ['table', MANY + 100],
  ])('are left soon when a signal comes while their %s are written', async (_, from) => {
    const folder = emptyFolder();
    const interrupted = new Interrupted(from);
    const writing = writeResults(folder, interrupted.results, 0.5, {});
    await expect(writing).rejects.toMatchObject({ name: 'Interrupted', status: 130 });
    expect(interrupted.taken).toBeLessThan(from + 1000);
    expect(readdirSync(folder)).toEqual(from > MANY ? ['results.jsonl'] : []);
  });

  it('are no longer printed when whoever waits for them ends it', async () => {
    let pieces = 0;
    const printing = writeTable(
      new Interrupted(MANY + 1).results,
      {},
      () => undefined,
      async () => {
        pieces++;
        if (pieces === 3) throw new Error('enough');
      },
    );
    await expect(printing).rejects.toThrow('enough');
  });
});
