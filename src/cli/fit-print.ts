import { openStream } from '../config/files.ts';
import { InputError, type Problem } from '../config/problem.ts';
import { NoFit } from '../fit/least-squares.ts';
import { type MeasuredTable, readMeasuredTable, type TableForm } from '../fit/measured-table.ts';
import {
  type FitText,
  fitMarkdown,
  fitTable,
  type ResidualRows,
  writeResiduals,
} from '../output/fit-text.ts';
import { jsonText } from '../output/json.ts';
import { outputPaint } from './colour.ts';
import { outDialect } from './dialect-options.ts';
import type { FitFlags } from './fit-command.ts';
import { writeErr, writeOut } from './streams.ts';

/** A fit in every form that it may be printed in; each is made only when it is. */
export interface FitOutput {
  readonly sheet: () => unknown;
  readonly text: () => FitText;
  readonly residuals: () => ResidualRows;
}

/** Prints a fit; the cautions that come with a table go to standard error. */
export async function printFit(output: FitOutput, flags: FitFlags): Promise<void> {
  switch (flags.format) {
    case 'table': {
      const text = output.text();
      writeOut(fitTable(text, await outputPaint()));
      writeErr(`${text.cautions.join('\n')}\n`);
      return;
    }
    case 'markdown':
      return writeOut(fitMarkdown(output.text()));
    case 'json':
      return writeOut(jsonText(output.sheet()));
    case 'csv':
      return writeResiduals(output.residuals(), writeOut, outDialect(flags));
    case 'none':
      return;
  }
}

/** Reads a measured table by what the flags say of it. */
export async function readTable(
  file: string,
  form: TableForm,
  { delimiter, decimal, columns }: FitFlags,
): Promise<MeasuredTable> {
  return readMeasuredTable(openStream(file, form.what), file, form, {
    delimiter,
    decimal,
    columns,
  });
}

/** Reads several tables of one form, or tells the problems of all of them. */
export async function readTables(
  files: readonly string[],
  form: TableForm,
  flags: FitFlags,
): Promise<MeasuredTable[]> {
  const tables: MeasuredTable[] = [];
  const problems: Problem[] = [];
  for (const file of files) {
    try {
      tables.push(await readTable(file, form, flags));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      problems.push(...error.problems);
    }
  }
  if (problems.length > 0) throw new InputError(problems);
  return tables;
}

/**
 * Does a fit, and says in the user's words why there is none.
 * @param file that the measurements come from
 * @param what is not told apart
 * @param hint how to mend it
 */
export function fitted<T>(file: string, what: string, hint: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof NoFit)) throw error;
    const found =
      error.why === 'undetermined'
        ? 'measurements that leave them open'
        : 'measurements that no such form comes near';
    throw new InputError([
      { code: 'no-fit', file, found, expected: `measurements that determine ${what}`, hint },
    ]);
  }
}
