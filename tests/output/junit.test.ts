import sax from 'sax';
import { describe, expect, it } from 'vitest';
import { junitXml, type TestCase } from '../../src/output/junit.ts';
import { oneOf, seeded } from '../seeded.ts';

interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
  text: string;
}

/** The elements of an XML text, by a strict parser. */
function parsed(xml: string): Element {
  const root: Element = { name: '', attributes: {}, children: [], text: '' };
  const open = [root];
  const parser = sax.parser(true);
  parser.onerror = (error) => {
    throw error;
  };
  parser.onopentag = ({ name, attributes }) => {
    const element = {
      name,
      attributes: attributes as Record<string, string>,
      children: [],
      text: '',
    };
    open.at(-1)!.children.push(element);
    open.push(element);
  };
  parser.ontext = (text) => {
    open.at(-1)!.text += text;
  };
  parser.onclosetag = () => void open.pop();
  parser.write(xml).close();
  return root.children[0]!;
}

const held: TestCase = { name: 'holds', condition: 'a at least 1: 2' };
const missed: TestCase = {
  name: 'fails',
  condition: 'b at most 1: 2',
  failure: { message: 'b at most 1: 2', text: 'b at most 1\n  udds: 2' },
};

// The structure is that of common practice, from memory and not verified against an XSD: the names
// below are those that CI systems read.
describe('JUnit XML', () => {
  it('is one suite with a case a test, counted, and a failure where one does not hold', () => {
    const root = parsed(junitXml('release', [held, missed]));
    expect(root).toMatchObject({ name: 'testsuites', attributes: { tests: '2', failures: '1' } });
    expect(root.children).toHaveLength(1);
    const suite = root.children[0]!;
    expect(suite).toMatchObject({
      name: 'testsuite',
      attributes: {
        name: 'release',
        tests: '2',
        failures: '1',
        errors: '0',
        skipped: '0',
        time: '0',
      },
    });
    expect(suite.children.map(({ name, attributes }) => [name, attributes])).toEqual([
      ['testcase', { name: 'holds', classname: 'release', time: '0' }],
      ['testcase', { name: 'fails', classname: 'release', time: '0' }],
    ]);
    expect(suite.children[0]!.children).toMatchObject([
      { name: 'system-out', text: 'a at least 1: 2' },
    ]);
    expect(suite.children[1]!.children).toMatchObject([
      {
        name: 'failure',
        attributes: { message: 'b at most 1: 2', type: 'gate' },
        text: 'b at most 1\n  udds: 2',
      },
    ]);
  });

  it('gives back marks, blanks and letters of any kind as they were', () => {
    const name = `<a href="x">'&amp;' ]]> \t line\nend\r é 漢 🚗`;
    const failure = { message: name, text: name };
    const suite = parsed(junitXml(name, [{ name, condition: '', failure }])).children[0]!;
    expect(suite.attributes).toMatchObject({ name });
    expect(suite.children[0]!.attributes).toMatchObject({ name });
    expect(suite.children[0]!.children[0]!.attributes).toMatchObject({ message: name });
    expect(suite.children[0]!.children[0]!.text).toBe(name);
  });

  it('writes out what XML cannot hold', () => {
    const name = 'bell \u0007 nul \u0000 half \ud800 none \uffff';
    const xml = junitXml('x', [{ name, condition: '' }]);
    expect(parsed(xml).children[0]!.children[0]!.attributes).toMatchObject({
      name: 'bell \\u0007 nul \\u0000 half \\ud800 none \\uffff',
    });
    expect(xml).not.toContain('&#7;');
  });

  it('is sound whatever characters names are made of', () => {
    const random = seeded(3);
    const pieces = ['<', '>', '&', '"', "'", ']]>', '\u0001', '\ud83d', '\n', 'a', '-->', '\u0085'];
    for (let round = 0; round < 200; round++) {
      const name = Array.from({ length: 8 }, () => oneOf(random, pieces)).join('');
      const xml = junitXml(name, [{ name, condition: name }]);
      // The characters that XML 1.0 allows (section 2.2, from memory, not verified).
      expect(xml).toMatch(/^[\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]*$/u);
      expect(parsed(xml).children[0]!.children).toHaveLength(1);
    }
  });

  it('says nothing of time, so that the same gates give the same bytes', () => {
    expect(junitXml('x', [held, missed])).toBe(junitXml('x', [held, missed]));
    expect(junitXml('x', [held])).not.toContain('timestamp');
  });
});
