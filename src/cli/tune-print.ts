import { CAUTIONS } from '../output/cautions.ts';
import { csvDialect } from '../output/csv-dialect.ts';
import type { TuneReport } from '../tune/report.ts';
import { outputPaint } from './colour.ts';
import { tellFormulas } from './output-told.ts';
import { writeErr, writeOut } from './streams.ts';
import type { TuneOptions } from './tune.ts';

/** Prints what a tune came to. */
export async function printTune(
  report: TuneReport,
  { format, delimiter, decimal }: TuneOptions,
): Promise<void> {
  switch (format) {
    case 'table': {
      const { tuneTable } = await import('../output/tune-table.ts');
      writeOut(tuneTable(report, await outputPaint()));
      writeErr(`${CAUTIONS.join('\n')}\n`);
      return;
    }
    case 'csv': {
      tellFormulas([report.tune, ...report.cycles.map(({ cycle }) => cycle)]);
      const { tuneCsv } = await import('../output/tune-csv.ts');
      return writeOut(tuneCsv(report, csvDialect({ delimiter, decimal })));
    }
    case 'json':
      return writeOut((await import('../output/json.ts')).jsonText(report));
    case 'markdown':
      return writeOut((await import('../output/tune-table.ts')).tuneMarkdown(report));
    case 'none':
      return;
  }
}
