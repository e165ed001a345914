import {
  appendFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { InputError } from '../../src/config/problem.ts';
import { MODEL_VERSION } from '../../src/simulate/model-version.ts';
import { entryText } from '../../src/study/entry.ts';
import { hasJournal, JOURNAL, Journal } from '../../src/study/journal.ts';
import { tool } from '../../src/summary/tool.ts';
import { problemsOf } from '../config/drafts.ts';
import { seeded } from '../seeded.ts';

function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spinledger-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

const hashOf = (k: number) => k.toString(16).padStart(16, '0');

/** The line of an invented case that failed; `text` makes it as long as is wanted. */
function entry(k: number, text = ''): string {
  const error = { kind: 'defect', message: `case ${k} ${text}`, problems: [] } as const;
  return entryText(
    { hash: hashOf(k), state: 'failed', explained: false, bounded: false },
    { error },
  );
}

async function journalOf(folder: string, entries: readonly string[]): Promise<void> {
  const journal = await Journal.open(folder);
  await Promise.all(entries.map((line) => journal.append(`${line}\n`)));
  await journal.close();
}

describe('the journal', () => {
  it('says on its first line who wrote it, and gives back every line by its hash', async () => {
    const folder = temporaryFolder();
    const lines = [entry(1), entry(2, 'ü'.repeat(3)), entry(3)];
    await journalOf(folder, lines);
    const [first, ...rest] = readFileSync(join(folder, JOURNAL), 'utf8').trimEnd().split('\n');
    expect(JSON.parse(first!)).toEqual({ journal: 2, tool: tool(), model_version: MODEL_VERSION });
    expect(rest).toEqual(lines);
    const again = await Journal.open(folder);
    expect([1, 2, 3].map((k) => again.read(hashOf(k)))).toEqual(lines);
    expect(again.head(hashOf(2))).toMatchObject({ state: 'failed', explained: false });
    expect(again.head(hashOf(4))).toBeUndefined();
    await again.close();
  });

  it.each([
    ['deleted', (folder: string) => rmSync(folder, { recursive: true })],
    ['moved', (folder: string) => renameSync(folder, `${folder}-moved`)],
  ])('keeps nothing more once its folder was %s', async (_, lose) => {
    const folder = join(temporaryFolder(), 'out');
    mkdirSync(folder);
    const journal = await Journal.open(folder);
    await journal.append(`${entry(1)}\n`);
    lose(folder);
    expect(await problemsOf(journal.append(`${entry(2)}\n`))).toMatchObject([
      { code: 'folder-gone', file: join(folder, JOURNAL), hint: expect.stringContaining('--out') },
    ]);
    expect(journal.head(hashOf(2))).toBeUndefined();
    await journal.close();
  });

  it('lets the last line of a case count', async () => {
    const folder = temporaryFolder();
    await journalOf(folder, [entry(1, 'first'), entry(2), entry(1, 'second')]);
    const journal = await Journal.open(folder);
    expect(journal.read(hashOf(1))).toBe(entry(1, 'second'));
    await journal.close();
  });

  it('loses but the torn line, wherever a kill has torn it, and goes on behind it', async () => {
    const random = seeded(11);
    for (let round = 0; round < 25; round++) {
      const folder = temporaryFolder();
      const path = join(folder, JOURNAL);
      const lines = Array.from({ length: 5 }, (_, k) => entry(k, 'x'.repeat(50 * random())));
      await journalOf(folder, lines);
      const whole = readFileSync(path);
      const end = Math.floor(whole.length * random());
      truncateSync(path, end);
      const kept = whole.subarray(0, end).toString('utf8').split('\n').slice(1, -1);
      const journal = await Journal.open(folder);
      const found = lines.filter((_, k) => journal.head(hashOf(k)) !== undefined);
      expect(found).toEqual(kept);
      await journal.append(`${entry(7)}\n`);
      await journal.close();
      const again = await Journal.open(folder);
      expect(again.read(hashOf(7))).toBe(entry(7));
      expect(again.damaged).toBe(0);
      await again.close();
    }
  });

  it('counts lines that are none of ours, and leaves them unused', async () => {
    const folder = temporaryFolder();
    await journalOf(folder, [entry(1)]);
    const path = join(folder, JOURNAL);
    appendFileSync(path, `${entry(2).slice(0, -3)}\n${entry(3).replace('case', '\0\0\0\0')}\n`);
    await journalOf(folder, [entry(4)]);
    const journal = await Journal.open(folder);
    expect(journal.damaged).toBe(2);
    expect([1, 2, 3, 4].map((k) => journal.head(hashOf(k)) !== undefined)).toEqual([
      true,
      false,
      false,
      true,
    ]);
    await journal.close();
  });

  it('does not take a line in which one letter is another', async () => {
    const folder = temporaryFolder();
    await journalOf(folder, [entry(1)]);
    const changed = entry(2).replace('"message":"', '"message":"x');
    expect(changed).not.toBe(entry(2));
    appendFileSync(join(folder, JOURNAL), `${changed}\n`);
    const journal = await Journal.open(folder);
    expect(journal.damaged).toBe(1);
    expect(journal.head(hashOf(2))).toBeUndefined();
    await journal.close();
  });

  it('finds lines longer than what is read at once', async () => {
    const folder = temporaryFolder();
    const lines = [entry(1, 'x'.repeat(3_000_000)), entry(2), entry(3, 'ü'.repeat(1_000_000))];
    await journalOf(folder, lines);
    const journal = await Journal.open(folder);
    expect([1, 2, 3].every((k) => journal.read(hashOf(k)) === lines[k - 1])).toBe(true);
    await journal.close();
  });

  it.each([
    ['of another version', `{"journal":2,"tool":"spinledger 0.0.0","model_version":"0"}\n`],
    ['of something else', 'time,speed\n'],
  ])('is refused where it is %s', async (_what, text) => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, JOURNAL), text);
    await expect(Journal.open(folder)).rejects.toThrow(InputError);
    expect(readFileSync(join(folder, JOURNAL), 'utf8')).toBe(text);
  });

  it('is known from a file of another kind', async () => {
    const folder = temporaryFolder();
    expect(hasJournal(folder)).toBe(false);
    await journalOf(folder, []);
    expect(hasJournal(folder)).toBe(true);
    writeFileSync(join(folder, JOURNAL), '{"a":1}\n');
    expect(hasJournal(folder)).toBe(false);
  });
});
