import { loadCase } from '../config/load.ts';
import { throwIfAny } from '../config/problem.ts';
import { EXAMPLE } from '../config/shipped.ts';
import { boundAlone, boundOfCase } from '../optimum/bound-case.ts';
import type { BoundedSummary } from '../optimum/bound-summary.ts';
import { CAUTIONS } from '../output/cautions.ts';
import type { CsvDialect } from '../output/csv-dialect.ts';
import { runCase, runReferences } from '../simulate/case.ts';
import { summariseLoaded } from '../summary/loaded-summary.ts';
import type { BoundOptions } from './bound.ts';
import { outputPaint } from './colour.ts';
import { compileForSearch } from './compiling.ts';
import { tellCleaning } from './cycle-inputs.ts';
import { tellDefaults } from './defaults-told.ts';
import { outDialect } from './dialect-options.ts';
import { driveOptions, unusedFlags } from './drive-options.ts';
import type { Progress } from './in-thread.ts';
import { tellFormulas, toldOfOutput } from './output-told.ts';
import { writeErr, writeOut } from './streams.ts';

/**
 * Loads a case, finds its bound, and prints it.
 * @param options
 * @param told how far the search is
 * @throws InputError for an input that cannot be used
 */
export async function boundOneCase(options: BoundOptions, told: Progress): Promise<void> {
  compileForSearch();
  const dialect = outDialect(options);
  const loaded = await loadCase({
    car: options.car ?? EXAMPLE.car,
    store: options.store ?? EXAMPLE.store,
    strategy: options.strategy ?? EXAMPLE.strategy,
    cycle: options.cycle ?? EXAMPLE.cycle,
    drive: driveOptions(options),
  });
  throwIfAny(unusedFlags(options, loaded.cycle.drives).map(toldOfOutput));
  tellDefaults(options, ['car', 'store', 'cycle']);
  tellCleaning(loaded.cycle.drives);
  const { subject } = loaded;
  const references = runReferences(subject.car, subject.trace);
  let summary: BoundedSummary;
  if (options.strategy === undefined) summary = boundAlone(loaded, references, told);
  else {
    const result = runCase(subject, references);
    summary = boundOfCase(subject, result, summariseLoaded(loaded, result), told);
  }
  writeOut(await printed(summary, options.format, dialect));
  if (options.format === 'table') writeErr(`${CAUTIONS.join('\n')}\n`);
}

async function printed(
  summary: BoundedSummary,
  format: BoundOptions['format'],
  dialect: CsvDialect,
): Promise<string> {
  if (format === 'none') return '';
  if (format === 'json') return (await import('../output/json.ts')).jsonText(summary);
  const text = await import('../output/bound-text.ts');
  if (format === 'csv') {
    tellFormulas(Object.values(summary.case));
    return text.boundCsv(summary, dialect);
  }
  if (format === 'markdown') return text.boundMarkdown(summary);
  return text.boundTable(summary, await outputPaint());
}
