import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { newView, newWant, type Strategy, type StrategyMaker } from '../strategy/contract.ts';
import { namedFrom, readText } from './files.ts';
import { type AnswerFault, answerFault, isPromise } from './plug-in-answer.ts';
import { InputError, type Problem } from './problem.ts';

/** A plug-in that has proved to load and to make a strategy. */
export interface PlugIn {
  readonly make: StrategyMaker;
  /** Text of the module, which decides the results. What it imports itself is not looked at. */
  readonly source: string;
}

/** What a plug-in's default export is called with; each run gets a copy of its own. */
export type PlugInParameters = Readonly<Record<string, unknown>>;

const EXPECTED_DEFAULT =
  'a default export that makes a strategy: `export default (parameters) => ({ decide(see, want) { … } })`';

/**
 * Loads a strategy from a JavaScript module whose default export is `(parameters) => Strategy`. One
 * strategy is made and thrown away, so that a maker which does not work is refused before a run.
 *
 * @param name of the strategy file, for results
 * @param folder from which the module is found
 * @param module path as the strategy file gives it
 * @param parameters of the strategy file
 * @throws InputError naming the module and what is wrong with it
 */
export async function loadPlugIn(
  name: string,
  folder: string,
  module: string,
  parameters: PlugInParameters,
): Promise<PlugIn> {
  const file = namedFrom(folder, module);
  const source = readText(file, 'a JavaScript module with a strategy');
  const maker = await importDefault(file);
  if (typeof maker !== 'function') {
    throw refuse(file, {
      code: 'plug-in-export',
      found: maker === undefined ? 'no default export' : `a default export of type ${typeof maker}`,
      expected: EXPECTED_DEFAULT,
    });
  }
  const label = `${name} (plug-in ${module})`;
  const make = () => guarded(label, file, made(file, maker as Maker, parameters));
  make();
  return { make, source };
}

type Maker = (parameters: unknown) => unknown;

async function importDefault(file: string): Promise<unknown> {
  try {
    return (await import(/* @vite-ignore */ pathToFileURL(file).href)).default;
  } catch (error) {
    const report = await syntaxReport(file);
    const syntax = /^SyntaxError: .*$/m.exec(report)?.[0];
    throw refuse(file, {
      code: syntax === undefined ? 'plug-in-load' : 'plug-in-syntax',
      ...lineIn(file, syntax === undefined ? stackOf(error) : report),
      found: syntax ?? cause(error),
      expected: 'a JavaScript module that can be imported',
    });
  }
}

/** What the platform says of a module that does not parse: the error itself names no line. */
async function syntaxReport(file: string): Promise<string> {
  const { spawnSync } = await import('node:child_process');
  return spawnSync(process.execPath, ['--check', file], { encoding: 'utf8' }).stderr ?? '';
}

function stackOf(error: unknown): string {
  return error instanceof Error ? (error.stack ?? '') : '';
}

/** The first line of a module that a report or a stack speaks of. */
function lineIn(file: string, report: string): { line?: number } {
  for (const name of [pathToFileURL(file).href, resolve(file)]) {
    const at = report.indexOf(`${name}:`);
    const line = at < 0 ? Number.NaN : Number.parseInt(report.slice(at + name.length + 1), 10);
    if (line > 0) return { line };
  }
  return {};
}

function made(file: string, maker: Maker, parameters: PlugInParameters): Strategy {
  let strategy: unknown;
  try {
    strategy = maker(structuredClone(parameters));
  } catch (error) {
    throw refuse(file, {
      code: 'plug-in-maker',
      ...lineIn(file, stackOf(error)),
      found: cause(error),
      expected: 'a strategy from the default export',
      hint: 'it threw when it was called with the `parameters` of the strategy file',
    });
  }
  if (hasDecide(file, strategy)) return strategy;
  throw refuse(file, {
    code: 'plug-in-strategy',
    found: isPromise(strategy) ? 'a promise' : `${strategy === null ? 'null' : typeof strategy}`,
    expected: 'an object with a function `decide(see, want)` from the default export',
    ...(isPromise(strategy) ? { hint: 'the default export must not be async' } : {}),
  });
}

/** Asking is enough to throw, where `decide` is a getter. */
function hasDecide(file: string, strategy: unknown): strategy is Strategy {
  try {
    return typeof (strategy as Partial<Strategy> | null | undefined)?.decide === 'function';
  } catch (error) {
    throw refuse(file, {
      code: 'plug-in-strategy',
      ...lineIn(file, stackOf(error)),
      found: cause(error),
      expected: 'an object with a function `decide(see, want)` from the default export',
    });
  }
}

/**
 * A plug-in behind a guard of its own, so that the time loop needs none: what it throws becomes a
 * problem of the input with the time of the drive. It is shown a copy of the view and writes into a
 * want of its own, since the simulator goes on working with both, whatever a plug-in does to them.
 */
function guarded(name: string, file: string, strategy: Strategy): Strategy {
  const shown = newView();
  const asked = newWant();
  return {
    name,
    decide(see, want) {
      let fault: AnswerFault | undefined;
      try {
        Object.assign(shown, see);
        Object.assign(asked, want);
        fault = answerFault(strategy.decide(shown, asked), asked);
        want.storePower = asked.storePower;
        want.engineOn = asked.engineOn;
        want.clutched = asked.clutched;
      } catch (error) {
        // The simulator's own refusal of what the plug-in asked about.
        if (error instanceof InputError) throw error;
        throw refuse(file, {
          code: 'plug-in-threw',
          ...lineIn(file, stackOf(error)),
          path: `decide at ${see.time} s`,
          found: cause(error),
          expected: 'a decision for every interval',
        });
      }
      if (fault !== undefined) throw refuse(file, { ...fault, path: `decide at ${see.time} s` });
    },
  };
}

/** What was thrown, in one line and without a stack. */
function cause(error: unknown): string {
  const text = error instanceof Error ? `${error.name}: ${error.message}` : textOf(error);
  return text.split('\n')[0] ?? text;
}

/** Not every object has a text: one without a prototype throws when it is asked for it. */
function textOf(value: unknown): string {
  try {
    return String(value);
  } catch {
    return typeof value;
  }
}

function refuse(file: string, problem: Omit<Problem, 'file'>): InputError {
  return new InputError([{ ...problem, file }]);
}
