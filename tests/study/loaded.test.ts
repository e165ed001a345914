import { describe, expect, it } from 'vitest';
import { Loaded, tellLoaded } from '../../src/study/loaded.ts';

describe('what waits for threads to load', () => {
  it('waits for all that there are, and for no other', async () => {
    const loaded = new Loaded();
    tellLoaded(loaded.flags, 7);
    await loaded.wait(() => [7]);
    let hasWaited = false;
    const waiting = loaded
      .wait(() => [7, 5000])
      .then(() => {
        hasWaited = true;
      });
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(hasWaited).toBe(false);
    tellLoaded(loaded.flags, 5000);
    await waiting;
    expect(hasWaited).toBe(true);
  });

  it('waits no longer for one that is gone', async () => {
    const loaded = new Loaded();
    const threads = [3];
    const waiting = loaded.wait(() => threads);
    threads.pop();
    await expect(waiting).resolves.toBeUndefined();
  });
});
