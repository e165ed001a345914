import { loadCar, loadStore } from '../config/load.ts';
import { EXAMPLE, shippedPath } from '../config/shipped.ts';
import { KMH, PERCENT } from '../config/units.ts';
import { CAUTIONS } from '../output/cautions.ts';
import { type CsvDialect, csvDialect } from '../output/csv-dialect.ts';
import { jsonText } from '../output/json.ts';
import { type SprintConditions, sprint } from '../simulate/sprint.ts';
import { type SprintSummary, summariseSprint } from '../summary/sprint-summary.ts';
import { outputPaint } from './colour.ts';
import { tellDefaults } from './defaults-told.ts';
import { tellFormulas } from './output-told.ts';
import { refuseToReplace } from './same-file.ts';
import type { SprintOptions } from './sprint.ts';
import { writeErr, writeOut } from './streams.ts';
import { writeWhole } from './whole-file.ts';

/**
 * Loads a car and a store, drives them at full load, and writes the trace and the figures.
 * @throws InputError for an input or a place to write that cannot be used
 */
export async function runSprint(options: SprintOptions): Promise<void> {
  const dialect = csvDialect(options);
  const { car: carName = EXAMPLE.car, store: storeName = EXAMPLE.store, trace } = options;
  const car = await loadCar(carName);
  const store = await loadStore(storeName);
  refuseToReplace([shippedPath('car', carName), shippedPath('store', storeName)], '--trace', trace);
  tellDefaults(options, ['car', 'store']);
  const slope = options.grade * PERCENT;
  const conditions: SprintConditions = {
    sine: slope / Math.sqrt(1 + slope * slope),
    adhesion: options.adhesion,
    engineOffSpeed: options.engineOffSpeed * KMH,
    cruiseSpeed: options.cruiseSpeed * KMH,
  };
  const result = sprint(car.value, store.value, conditions);
  const summary = summariseSprint(car, store, conditions, result);
  if (trace !== undefined) {
    const { writeSprintTrace } = await import('../output/sprint-trace.ts');
    const fill = (write: (text: string) => void) =>
      writeSprintTrace(car.value, store.value, conditions, write, dialect);
    if (trace === '-') fill(writeOut);
    else await writeWhole(trace, fill);
  }
  writeOut(await printed(summary, options.format, dialect));
  if (options.format === 'table') writeErr(`${CAUTIONS.join('\n')}\n`);
}

async function printed(
  summary: SprintSummary,
  format: SprintOptions['format'],
  dialect: CsvDialect,
): Promise<string> {
  switch (format) {
    case 'table': {
      const { sprintTable } = await import('../output/sprint-text.ts');
      return sprintTable(summary, await outputPaint());
    }
    case 'json':
      return jsonText(summary);
    case 'csv':
      tellFormulas([summary.case.car, summary.case.store]);
      return (await import('../output/sprint-csv.ts')).sprintCsv(summary, dialect);
    case 'markdown':
      return (await import('../output/sprint-text.ts')).sprintMarkdown(summary);
    case 'none':
      return '';
  }
}
