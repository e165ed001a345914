import { type LoadedGates, loadGates } from '../config/load-gates.ts';
import { InputError } from '../config/problem.ts';
import { compareCsv } from '../output/compare-csv.ts';
import { gatesJunit, missedGateLines } from '../output/compare-gates.ts';
import { compareJson } from '../output/compare-json.ts';
import { compareMarkdown } from '../output/compare-markdown.ts';
import { compareTable } from '../output/compare-table.ts';
import { csvDialect } from '../output/csv-dialect.ts';
import { printable } from '../output/problems.ts';
import { type Comparison, compare, readCompared } from '../study/comparison.ts';
import type { Result } from '../study/results.ts';
import { tool } from '../summary/tool.ts';
import { outputPaint } from './colour.ts';
import type { CompareOptions } from './compare.ts';
import { GatesNotHeld } from './gates-not-held.ts';
import { tellFormulas } from './output-told.ts';
import { refuseToReplace } from './same-file.ts';
import { ClosedPipe, writeErr, writeOut } from './streams.ts';
import { writeWhole } from './whole-file.ts';

/**
 * Reads two results, compares them, and writes what came out.
 * @throws InputError for an input or a place to write that cannot be used, GatesNotHeld when all is
 *   written but a gate does not hold
 */
export async function compareResults(
  before: string,
  after: string,
  options: CompareOptions,
): Promise<void> {
  const { gate, junit } = options;
  const dialect = csvDialect(options);
  const gates = gate === undefined ? undefined : loadGates(gate);
  refuseToReplace(
    [before, after, ...(gates === undefined ? [] : [gates.document.file])],
    '--junit',
    junit,
  );
  const [old, now] = await readBoth(before, after, gates);
  const comparison = compare(old, now, gates);
  for (const notice of comparison.notices) writeErr(`${printable(notice)}\n`);
  const missed = missedGateLines(comparison);
  try {
    if (junit !== undefined) await writeJunit(comparison, junit);
    await print(comparison, options.format, dialect);
  } catch (error) {
    // Whoever reads the first lines alone must not make a gate hold.
    if (!(error instanceof ClosedPipe) || missed.length === 0) throw error;
  }
  if (missed.length > 0) throw new GatesNotHeld(missed.join('\n'));
}

/** Both results, or the problems of both. */
async function readBoth(
  before: string,
  after: string,
  gates: LoadedGates | undefined,
): Promise<[Result, Result]> {
  const read = await Promise.allSettled([readCompared(before, gates), readCompared(after, gates)]);
  const reasons = read.flatMap((one): unknown[] => (one.status === 'rejected' ? [one.reason] : []));
  const inputs = reasons.filter((reason) => reason instanceof InputError);
  if (inputs.length < reasons.length) throw reasons.find((one) => !(one instanceof InputError));
  if (inputs.length > 0) throw new InputError(inputs.flatMap(({ problems }) => problems));
  return read.map((one) => (one as PromiseFulfilledResult<Result>).value) as [Result, Result];
}

async function writeJunit(comparison: Comparison, file: string): Promise<void> {
  const text = gatesJunit(comparison);
  if (file === '-') writeOut(text);
  else await writeWhole(file, (write) => write(text));
}

async function print(
  comparison: Comparison,
  format: CompareOptions['format'],
  dialect: ReturnType<typeof csvDialect>,
): Promise<void> {
  switch (format) {
    case 'table':
      return writeOut(compareTable(comparison, await outputPaint()));
    case 'markdown':
      return writeOut(compareMarkdown(comparison));
    case 'json':
      for (const piece of compareJson(comparison, tool())) writeOut(piece);
      return;
    case 'csv':
      tellFormulas(
        comparison.matching.pairs.flatMap(({ before, after }) => [
          ...Object.values(after.names),
          before.hash,
          after.hash,
        ]),
      );
      for (const piece of compareCsv(comparison, dialect)) writeOut(piece);
      return;
    case 'none':
      return;
  }
}
