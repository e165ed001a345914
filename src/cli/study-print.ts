import { CAUTIONS } from '../output/cautions.ts';
import { csvDialect } from '../output/csv-dialect.ts';
import { chosenColumns, type StudyShape, studyColumns } from '../output/study-columns.ts';
import type { StudyCsvOptions } from '../output/study-csv.ts';
import { namesIn, studyReport } from '../output/study-report.ts';
import { outputPaint } from './colour.ts';
import { tellFormulas } from './output-told.ts';
import { writeErr, writeOut } from './streams.ts';
import type { StudyPrint } from './study.ts';
import { type Outcome, type StudyResults, writeTable } from './study-results.ts';

/**
 * How the CSV on standard output is written, looked at before the first case runs.
 * @throws InputError for columns that there are not, or signs that do not go together
 */
export function csvOptions(print: StudyPrint, shape: StudyShape): StudyCsvOptions {
  const { columns, delimiter, decimal } = print;
  return {
    dialect: csvDialect({ delimiter, decimal }),
    ...(columns !== undefined && { columns: chosenColumns(studyColumns(shape), columns) }),
  };
}

/**
 * Prints what a study came to.
 * @param print
 * @param results
 * @param outcome
 * @param heed waited for now and then where there is much to print: may throw to end it
 */
export async function printStudy(
  print: StudyPrint,
  results: StudyResults,
  { manifest, ranking }: Outcome,
  heed: () => Promise<void> = async () => undefined,
): Promise<void> {
  const report = studyReport(manifest.study, manifest.tool, ranking);
  switch (print.format) {
    case 'table': {
      const { studyTable } = await import('../output/study-table.ts');
      writeOut(studyTable(report, await outputPaint()));
      writeErr(`${CAUTIONS.join('\n')}\n`);
      return;
    }
    case 'csv': {
      tellFormulas(namesIn(ranking));
      return writeTable(results, csvOptions(print, results.shape), writeOut, heed);
    }
    case 'json': {
      const { jsonText } = await import('../output/json.ts');
      const { studyJson } = await import('../output/study-json.ts');
      return writeOut(jsonText(studyJson(manifest, report)));
    }
    case 'markdown':
      return writeOut((await import('../output/study-markdown.ts')).studyMarkdown(report));
    case 'none':
      return;
  }
}
