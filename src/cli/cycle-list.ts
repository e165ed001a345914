import { type Command, Option } from 'commander';
import { outputPaint } from './colour.ts';
import { cycleHelp, newCycleCommand } from './cycle-command.ts';
import { writeOut } from './streams.ts';

const FORMATS = ['table', 'json', 'csv'] as const;

interface ListOptions {
  readonly format: (typeof FORMATS)[number];
}

/** `cycle list`: the built-in cycles. */
export function listCommand(): Command {
  return newCycleCommand('list')
    .summary('list the built-in cycles')
    .description('Lists the built-in cycles: duration, distance, mean and top speed, standard.')
    .addOption(
      new Option('--format <kind>', 'how the list is printed').choices(FORMATS).default('table'),
    )
    .addHelpText('after', cycleHelp('list --format csv'))
    .action(list);
}

async function list({ format }: ListOptions): Promise<void> {
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
      return writeOut(cycleListCsv(found));
  }
}
