import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { gatesFrom, loadGates } from '../../src/config/load-gates.ts';
import { documentOf, EXAMPLES, exampleData, problemsOf } from './drafts.ts';

const GATE = { name: 'saves', figure: 'saving_vs_stop_start_pct', at_least: 5 };

const load = (data: unknown) => gatesFrom(documentOf(data)).content;
const problems = (data: unknown) => problemsOf(Promise.resolve(data).then(load));
const problemsOfGate = (gate: object) => problems({ name: 'x', gates: [gate] });

describe('a gates file', () => {
  it('holds the figure after, in each case, if it says nothing else', () => {
    const { gates } = load({ name: 'x', gates: [GATE] });
    expect(gates).toEqual([{ ...GATE, of: 'after', over: 'each' }]);
  });

  it('is found by the bare name of a shipped example, each of which is sound', async () => {
    const files = readdirSync(join(EXAMPLES, 'gates'));
    expect(files.length).toBeGreaterThan(1);
    for (const file of files) {
      const name = basename(file, '.json');
      expect(loadGates(name).content.name).toBe(name);
      expect(exampleData(`gates/${file}`)).toMatchObject({
        $schema: '../schema/gates.json',
        notes: expect.stringMatching(/^Invented/),
      });
    }
    const unknown = await problemsOf(Promise.resolve('no-wrose').then(loadGates));
    expect(unknown).toMatchObject([{ hint: 'did you mean `no-worse`?' }]);
  });

  it('takes names and varied numbers, single and in lists', () => {
    const cases = { car: 'estate', cycle: ['udds', 'nycc'], 'store.mass_kg': [60, 80] };
    expect(load({ name: 'x', gates: [{ ...GATE, cases }] }).gates[0]?.cases).toEqual(cases);
  });

  it.each([
    ['no list of gates', { name: 'x' }, 'gates'],
    ['an empty list of gates', { name: 'x', gates: [] }, 'gates'],
    ['a gate of a wrong kind', { name: 'x', gates: [5] }, 'gates[0]'],
    ['a share below 0', { name: 'x', gates: [GATE], cycle_shares: { a: -1 } }, 'cycle_shares.a'],
    ['shares that are all 0', { name: 'x', gates: [GATE], cycle_shares: { a: 0 } }, 'cycle_shares'],
    ['no shares', { name: 'x', gates: [GATE], cycle_shares: {} }, 'cycle_shares'],
    ['an unknown key', { name: 'x', gate: [], gates: [GATE] }, 'gate'],
  ])('refuses %s', async (_, data, path) => {
    expect((await problems(data)).map((problem) => problem.path)).toEqual([path]);
  });

  it.each([
    ['no limit', { at_least: undefined }, 'gates[0]'],
    ['a limit that is a text', { at_least: '5' }, 'gates[0].at_least'],
    ['an unknown subject', { of: 'before' }, 'gates[0].of'],
    ['an unknown extent', { over: 'all' }, 'gates[0].over'],
    ['no figure', { figure: undefined }, 'gates[0].figure'],
    ['an empty list of names', { cases: { car: [] } }, 'gates[0].cases.car'],
    ['an unknown condition', { cases: { carr: 'x' } }, 'gates[0].cases.carr'],
    ['a number for an unknown condition', { cases: { carr: 5 } }, 'gates[0].cases.carr'],
    ['a text for a varied number', { cases: { 'car.x': '5' } }, 'gates[0].cases.car.x'],
  ])('refuses a gate with %s', async (_, more, path) => {
    expect((await problemsOfGate({ ...GATE, ...more })).map((one) => one.path)).toEqual([path]);
  });

  it.each([
    [{ at_least: 5, at_most: 4 }],
    [{ above: 5, at_most: 5 }],
    [{ at_least: 5, below: 5 }],
    [{ above: 5, below: 5 }],
  ])('refuses limits between which there is no room: %o', async (limits) => {
    const { at_least: _, ...bare } = GATE;
    expect(await problemsOfGate({ ...bare, ...limits })).toMatchObject([{ code: 'inconsistent' }]);
  });

  it('takes limits that leave a single value', () => {
    const { gates } = load({ name: 'x', gates: [{ ...GATE, at_most: 5 }] });
    expect(gates[0]).toMatchObject({ at_least: 5, at_most: 5 });
  });

  it('refuses two gates of one name, by which reports know them', async () => {
    expect(await problems({ name: 'x', gates: [GATE, GATE] })).toMatchObject([
      { code: 'duplicate-name', path: 'gates[1].name' },
    ]);
  });
});
