import { describe, expect, it } from 'vitest';
import { KMH } from '../../src/config/units.ts';
import { compose, parseComposition } from '../../src/cycle/composition.ts';
import { distance, duration, maxSpeed, type Trace } from '../../src/cycle/trace.ts';
import { cycleNamed } from '../fixtures.ts';
import { problemsOf } from './problems.ts';

const parts = (text: string) => parseComposition(text).parts;

describe('a composition', () => {
  it('of one plain name is that name', () => {
    expect(parts('udds')).toEqual([
      { name: 'udds', text: 'udds', once: 'udds', times: 1, factor: 1 },
    ]);
    expect(parts('  logs/my drive.csv ')).toEqual([
      {
        name: 'logs/my drive.csv',
        text: 'logs/my drive.csv',
        once: 'logs/my drive.csv',
        times: 1,
        factor: 1,
      },
    ]);
  });

  it('has repetitions, cuts and factors, each of which may be left out', () => {
    expect(parts("2*udds + wltc-class3b[0..589] + 'my drive.csv'@0.95")).toEqual([
      { name: 'udds', text: '2*udds', once: 'udds', times: 2, factor: 1 },
      {
        name: 'wltc-class3b',
        text: 'wltc-class3b[0..589]',
        once: 'wltc-class3b[0..589]',
        times: 1,
        from: 0,
        to: 589,
        factor: 1,
      },
      {
        name: 'my drive.csv',
        text: "'my drive.csv'@0.95",
        once: "'my drive.csv'@0.95",
        times: 1,
        factor: 0.95,
      },
    ]);
    expect(parts('10 * "a[1]@b + c.csv" [1.5 .. 2e1] @ 1.1')).toEqual([
      {
        name: 'a[1]@b + c.csv',
        text: '10 * "a[1]@b + c.csv" [1.5 .. 2e1] @ 1.1',
        once: '"a[1]@b + c.csv" [1.5 .. 2e1] @ 1.1',
        times: 10,
        from: 1.5,
        to: 20,
        factor: 1.1,
      },
    ]);
  });

  it('may leave out either side of a cut', () => {
    expect(parts('nedc[780..]')[0]).toMatchObject({ from: 780 });
    expect(parts('nedc[..780]')[0]).toMatchObject({ to: 780 });
    expect(parts('nedc[..]')[0]).toEqual({
      name: 'nedc',
      text: 'nedc[..]',
      once: 'nedc[..]',
      times: 1,
      factor: 1,
    });
  });

  it('takes a plus without blanks for a part of the name', () => {
    expect(parts('there+back.csv').map(({ name }) => name)).toEqual(['there+back.csv']);
    expect(parts("it's.csv").map(({ name }) => name)).toEqual(["it's.csv"]);
  });

  it.each([
    ['', 1, 'nothing more', 'the name of a cycle or file'],
    ['udds + ', 8, 'nothing more', 'the name of a cycle or file'],
    [' + udds', 2, '+ udds', 'the name of a cycle or file'],
    ['udds + + nedc', 8, '+ nedc', 'the name of a cycle or file'],
    ['0*udds', 1, '0*udds', 'a whole number from 1 to 1000 before the `*`'],
    ['udds + 1.5*nedc', 8, '1.5*nedc', 'a whole number from 1 to 1000 before the `*`'],
    ['*udds', 1, '*udds', 'a whole number from 1 to 1000 before the `*`'],
    ['two*udds', 1, 'two*udds', 'a whole number from 1 to 1000 before the `*`'],
    ['5000*udds', 1, '5000*udds', 'a whole number from 1 to 1000 before the `*`'],
    ["'udds", 1, "'udds", "a closing ' behind the name"],
    ["'' + udds", 1, "'' + udds", 'a name between the quotation marks'],
    ['udds[0..589', 5, '[0..589', 'a closing `]` behind the seconds of a cut'],
    ['udds[0-589]', 5, '[0-589]', 'seconds such as `[0..589]`, `[590..]` or `[..589]`'],
    ['udds[]', 5, '[]', 'seconds such as `[0..589]`, `[590..]` or `[..589]`'],
    ['udds[a..b]', 5, '[a..b]', 'seconds such as `[0..589]`, `[590..]` or `[..589]`'],
    ['udds[9..9]', 5, '[9..9]', 'a cut whose first second is before its last'],
    ['udds@', 5, '@', 'a speed factor from 0.01 to 100 behind the `@`, such as `@0.95`'],
    ['udds@0', 5, '@0', 'a speed factor from 0.01 to 100 behind the `@`, such as `@0.95`'],
    ['udds@95%', 5, '@95%', 'a speed factor from 0.01 to 100 behind the `@`, such as `@0.95`'],
    ['udds[0..9]nedc', 11, 'nedc', 'the end, or ` + ` and another part'],
    ["'udds' nedc", 8, 'nedc', 'the end, or ` + ` and another part'],
    ['udds]', 5, ']', 'the end, or ` + ` and another part'],
  ])(
    'that cannot be read is refused where it goes wrong: %s',
    (text, character, found, expected) => {
      const [problem, ...more] = problemsOf(() => parseComposition(text));
      expect(more).toEqual([]);
      expect(problem).toMatchObject({
        code: 'composition',
        path: `character ${character}`,
        found,
        expected,
      });
      expect(problem!.hint).toContain('2*udds');
    },
  );
});

describe('composing', () => {
  const asked: string[] = [];
  const traceOf = (name: string): Trace => {
    asked.push(name);
    return cycleNamed(name);
  };

  it('gives the very trace of a plain name', () => {
    const udds = cycleNamed('udds');
    expect(compose(parseComposition('udds'), () => udds)).toBe(udds);
    expect(compose(parseComposition('udds[..]@1'), () => udds)).toBe(udds);
  });

  it('cuts first, then scales, then repeats, and asks for each name once', () => {
    asked.length = 0;
    const text = '2*udds[0..505]@0.9 + nedc + udds[505..1369]';
    const trace = compose(parseComposition(text), traceOf);
    expect(asked).toEqual(['udds', 'nedc']);
    expect(trace.name).toBe(text);
    expect(duration(trace)).toBe(2 * 505 + 1180 + 864);
    let bag = 0;
    const { speed } = cycleNamed('udds');
    for (let k = 0; k < 505; k++) bag += 0.5 * (speed[k]! + speed[k + 1]!);
    const rest = distance(cycleNamed('udds')) - bag;
    const expected = 1.8 * bag + distance(cycleNamed('nedc')) + rest;
    expect(Math.abs(distance(trace) - expected)).toBeLessThan(1e-11 * expected);
  });

  it('names what was cut, scaled or repeated as the user wrote it', () => {
    expect(compose(parseComposition(' 2*nedc '), traceOf).name).toBe('2*nedc');
    const scaled = compose(parseComposition('nedc@1.1'), traceOf);
    expect(scaled.name).toBe('nedc@1.1');
    expect(maxSpeed(scaled) / KMH).toBeCloseTo(132, 10);
  });

  it('refuses a seam between speeds that do not agree, in the words of the user', () => {
    expect(
      problemsOf(() => compose(parseComposition('nedc[0..1100] + udds'), traceOf)),
    ).toMatchObject([{ code: 'seam', path: 'nedc[0..1100] + udds' }]);
    expect(problemsOf(() => compose(parseComposition('2*nedc[0..1100]'), traceOf))).toMatchObject([
      { code: 'seam', path: 'nedc[0..1100]' },
    ]);
  });

  it('refuses a cut that lies outside of its cycle', () => {
    expect(problemsOf(() => compose(parseComposition('nedc[0..1181]'), traceOf))).toMatchObject([
      { code: 'out-of-range', path: 'nedc', found: 'from 0 s to 1181 s' },
    ]);
  });
});
