import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { DocumentProblems, readDocument } from '../../src/config/document.ts';
import { problemsOf } from '../cycle/problems.ts';
import { folderWith } from './drafts.ts';

describe('readDocument', () => {
  it('refuses bytes that are no UTF-8, with their line: names would be lost in them', () => {
    const file = join(folderWith({}), 'car.json');
    const text = '{\n  "name": "straße"\n}\n';
    writeFileSync(file, text, 'latin1');
    expect(problemsOf(() => readDocument(file, 'a car file'))).toMatchObject([
      { code: 'not-text', file, line: 2, hint: 'save it as UTF-8 text' },
    ]);
    writeFileSync(file, text, 'utf8');
    expect(readDocument(file, 'a car file').value).toEqual({ name: 'straße' });
  });
});

describe('the problems of a document', () => {
  /** So many problems, as they are thrown. */
  function thrown(count: number) {
    const file = join(folderWith({ 'a.json': '{}' }), 'a.json');
    const problems = new DocumentProblems(readDocument(file, 'a file'));
    for (let k = 0; k < count; k++) problems.add([k], { code: 'wrong-type', expected: 'another' });
    return problemsOf(() => problems.throwIfAny());
  }

  it('are named up to a hundred, and then counted', () => {
    expect(thrown(101).map(({ code }) => code)).toEqual(Array(101).fill('wrong-type'));
    const many = thrown(5000);
    expect(many).toHaveLength(101);
    expect(many[99]).toMatchObject({ code: 'wrong-type', path: '[99]' });
    expect(many[100]).toMatchObject({ code: 'more-problems', found: '4900 more problems' });
  });
});
