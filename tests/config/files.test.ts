import { mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { namedFrom, readText } from '../../src/config/files.ts';
import { problemsOf } from '../cycle/problems.ts';
import { folderWith } from './drafts.ts';

function refusal(path: string) {
  return problemsOf(() => readText(path, 'a car file'))[0];
}

describe('readText', () => {
  it('drops a byte order mark', () => {
    const folder = folderWith({ 'a.json': '\uFEFF{"a": 1}\n' });
    expect(readText(join(folder, 'a.json'), 'a car file')).toBe('{"a": 1}\n');
  });

  it('names the nearest file where there is none of that name', () => {
    const folder = folderWith({ 'estate.json': '{}', 'van.json': '{}' });
    expect(refusal(join(folder, 'estat.json'))).toEqual({
      code: 'no-file',
      file: join(folder, 'estat.json'),
      found: 'no such file',
      expected: 'a car file',
      hint: `did you mean \`${join(folder, 'estate.json')}\`?`,
    });
    expect(refusal(join(folder, 'van'))?.hint).toContain('van.json');
  });

  it('lists the files of the folder where none is near', () => {
    const folder = folderWith({ 'estate.json': '{}', 'van.json': '{}', 'notes.txt': 'x' });
    expect(refusal(join(folder, 'locomotive.json'))?.hint).toBe(
      `\`${folder}\` holds estate.json, van.json`,
    );
  });

  it('lists them beside a link that leads to itself', () => {
    const folder = folderWith({ 'estate.json': '{}' });
    symlinkSync('loop.json', join(folder, 'loop.json'));
    expect(refusal(join(folder, 'locomotive.json'))?.hint).toBe(`\`${folder}\` holds estate.json`);
    expect(refusal(join(folder, 'loop.json'))).toMatchObject({ code: 'unreadable' });
  });

  it('says when the folder is not there either', () => {
    const folder = join(folderWith({}), 'gone');
    expect(refusal(join(folder, 'car.json'))?.hint).toContain('does not exist either');
  });

  it('takes no folder for a file', () => {
    const folder = folderWith({ 'car.json': '{}' });
    mkdirSync(join(folder, 'inner'));
    expect(refusal(folder)).toMatchObject({ code: 'folder', found: 'a folder' });
    expect(refusal(join(folder, 'inner'))?.code).toBe('folder');
  });

  it('says when a part of the path is a file', () => {
    const folder = folderWith({ 'car.json': '{}' });
    expect(refusal(join(folder, 'car.json', 'x.json'))?.code).toBe('no-file');
  });

  it.each([
    ['', 'empty-file'],
    [' \n\t\n', 'empty-file'],
    ['PK\u0003\u0004\0\0', 'not-text'],
  ])('refuses the content %j', (text, code) => {
    expect(refusal(join(folderWith({ 'a.json': text }), 'a.json'))?.code).toBe(code);
  });
});

describe('namedFrom', () => {
  it('finds a file from the folder of the one that names it, unless its path is absolute', () => {
    expect(namedFrom('cars', './engine.csv')).toBe(join('cars', 'engine.csv'));
    expect(namedFrom('cars', '/data/engine.csv')).toBe('/data/engine.csv');
  });
});
