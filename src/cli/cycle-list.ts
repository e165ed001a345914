import { type Command, Option } from 'commander';
import type { Decimal, Delimiter } from '../cycle/dialect.ts';
import { csvDialect } from '../output/csv-dialect.ts';
import { outputPaint } from './colour.ts';
import { cycleHelp, newCycleCommand } from './cycle-command.ts';
import { addDialectOptions, refuseIdleDialect } from './dialect-options.ts';
import { writeOut } from './streams.ts';

const FORMATS = ['table', 'json', 'csv'] as const;

interface ListOptions {
  readonly format: (typeof FORMATS)[number];
  readonly delimiter?: Delimiter;
  readonly decimal?: Decimal;
}

/** `cycle list`: the built-in cycles. */
export function listCommand(): Command {
  const command = newCycleCommand('list')
    .summary('list the built-in cycles')
    .description('Lists the built-in cycles: duration, distance, mean and top speed, standard.')
    .addOption(
      new Option('--format <kind>', 'how the list is printed').choices(FORMATS).default('table'),
    );
  return addDialectOptions(command)
    .addHelpText('after', cycleHelp('list --format csv'))
    .action(list);
}

async function list(options: ListOptions, command: Command): Promise<void> {
  const { format, delimiter, decimal } = options;
  if (format !== 'csv') {
    refuseIdleDialect(
      command,
      { '--delimiter': delimiter, '--decimal': decimal },
      "add '--format csv'",
    );
  }
  const dialect = csvDialect({ delimiter, decimal });
  const { loadCycle } = await import('../config/load-cycle.ts');
  const { builtInCycles } = await import('../cycle/library.ts');
  const { cycleList, cycleListCsv, cycleListTable } = await import('../output/cycle-list.ts');
  const cycles = builtInCycles.map(async (cycle) => ({
    ...cycle,
    trace: (await loadCycle(cycle.name)).value,
  }));
  const found = cycleList(await Promise.all(cycles));
  switch (format) {
    case 'table':
      return writeOut(cycleListTable(found, await outputPaint()));
    case 'json':
      return writeOut((await import('../output/json.ts')).jsonText(found));
    case 'csv':
      return writeOut(cycleListCsv(found, dialect));
  }
}
