import { loadCase } from '../config/load.ts';
import { throwIfAny } from '../config/problem.ts';
import { EXAMPLE, shippedPath } from '../config/shipped.ts';
import type { BoundedSummary } from '../optimum/bound-summary.ts';
import { CAUTIONS } from '../output/cautions.ts';
import type { CsvDialect } from '../output/csv-dialect.ts';
import { jsonText } from '../output/json.ts';
import { writeLog } from '../output/log-csv.ts';
import { summaryTable } from '../output/table.ts';
import { runCase } from '../simulate/case.ts';
import { summariseLoaded } from '../summary/loaded-summary.ts';
import { fixed } from '../summary/numbers.ts';
import type { Summary } from '../summary/summary.ts';
import { outputPaint } from './colour.ts';
import { compileForSearch } from './compiling.ts';
import { tellCleaning } from './cycle-inputs.ts';
import { tellDefaults } from './defaults-told.ts';
import { outDialect } from './dialect-options.ts';
import { driveOptions, unusedFlags } from './drive-options.ts';
import type { Progress } from './in-thread.ts';
import { tellFormulas, toldOfOutput } from './output-told.ts';
import type { RunOptions } from './run.ts';
import { refuseToReplace } from './same-file.ts';
import { writeErr, writeOut } from './streams.ts';
import { TraceNotFollowed } from './trace-not-followed.ts';
import { writeWhole } from './whole-file.ts';

/**
 * Loads a case, runs it, and writes its log and its summary.
 * @param options
 * @param told how far the search of its bound is, and when files are written
 * @throws InputError for an input or a place to write that cannot be used, TraceNotFollowed when all
 *   is written but too much is missing
 */
export async function runOneCase(options: RunOptions, told?: Progress): Promise<void> {
  if (options.bound) compileForSearch();
  const dialect = outDialect(options);
  const paths = {
    car: options.car ?? EXAMPLE.car,
    store: options.store ?? EXAMPLE.store,
    strategy: options.strategy ?? EXAMPLE.strategy,
    cycle: options.cycle ?? EXAMPLE.cycle,
    drive: driveOptions(options),
  };
  const loaded = await loadCase(paths);
  const { drives } = loaded.cycle;
  refuseToReplace(
    [
      shippedPath('car', paths.car),
      shippedPath('store', paths.store),
      shippedPath('strategy', paths.strategy),
      ...drives.map(({ file }) => file),
    ],
    '--log',
    options.log,
  );
  throwIfAny(unusedFlags(options, drives).map(toldOfOutput));
  tellDefaults(options, ['car', 'store', 'strategy', 'cycle']);
  tellCleaning(drives);
  const { subject } = loaded;
  const result = runCase(subject);
  const { behaviours } = loaded.strategy.value;
  const waterfall = options.explain
    ? (await import('../simulate/waterfall.ts')).runWaterfall(subject, behaviours, result)
    : undefined;
  const plain = summariseLoaded(loaded, result, waterfall);
  const bounded = options.bound
    ? (await import('../optimum/bound-case.ts')).boundOfCase(subject, result, plain, told)
    : undefined;
  const summary = bounded ?? plain;

  if (options.log !== undefined) {
    const fill = (write: (text: string) => void) =>
      writeLog(subject, result, write, options.logStep, dialect);
    told?.('writing');
    if (options.log === '-') fill(writeOut);
    else await writeWhole(options.log, fill);
  }
  writeOut(
    bounded === undefined
      ? await printed(plain, options.format, dialect)
      : await printedWithBound(bounded, options.format, dialect),
  );
  if (options.format === 'table') writeErr(`${CAUTIONS.join('\n')}\n`);
  holdTolerance(summary, options.tolerance);
}

async function printed(
  summary: Summary,
  format: RunOptions['format'],
  dialect: CsvDialect,
): Promise<string> {
  switch (format) {
    case 'table':
      return summaryTable(summary, await outputPaint());
    case 'json':
      return jsonText(summary);
    case 'csv':
      tellFormulas(Object.values(summary.case));
      return (await import('../output/csv.ts')).summaryCsv(summary, dialect);
    case 'markdown':
      return (await import('../output/markdown.ts')).summaryMarkdown(summary);
    case 'none':
      return '';
  }
}

/** The same with the bound: below what is printed without it, or among its keys. */
async function printedWithBound(
  summary: BoundedSummary,
  format: RunOptions['format'],
  dialect: CsvDialect,
): Promise<string> {
  const text = await import('../output/bound-text.ts');
  if (format === 'csv') {
    tellFormulas(Object.values(summary.case));
    return text.boundCsv(summary, dialect);
  }
  const above = await printed(summary, format, dialect);
  if (format === 'table') return above + text.boundLines(summary, await outputPaint());
  return format === 'markdown' ? `${above}\n${text.boundSectionsMarkdown(summary)}` : above;
}

/** A saving against a car that does not follow the trace is no saving: all three runs are held to it. */
function holdTolerance({ shortfall, references }: Summary, tolerance: number): void {
  const runs = [
    ['with the store', shortfall],
    ['of the car as it is', references.baseline.shortfall],
    ['of the car with stop-start', references.stop_start.shortfall],
  ] as const;
  const missing = runs
    .filter(([, { pct_of_tractive }]) => pct_of_tractive > tolerance)
    .map(
      ([whose, { energy_kJ, pct_of_tractive }]) =>
        `${whose} ${fixed(energy_kJ, 1)} kJ, ${fixed(pct_of_tractive, 3)} % of the tractive energy, are missing`,
    );
  if (missing.length === 0) return;
  throw new TraceNotFollowed(
    `the trace was not followed: ${missing.join('; ')}; --tolerance is ${tolerance} %`,
  );
}
