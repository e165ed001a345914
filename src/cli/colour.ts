import { type Paint, plainPaint } from '../output/paint.ts';

/** Colours a stream may carry: none, 16, 256 or 16 million. */
export type ColourLevel = 0 | 1 | 2 | 3;

/**
 * Decides whether a stream carries colour. FORCE_COLOR, which names a level, goes before NO_COLOR
 * (any text but an empty one), and both before what the terminal is.
 * @param terminal whether the stream is one
 * @param environment of the process
 */
export function colourLevel(
  terminal: boolean,
  environment: Readonly<Record<string, string | undefined>>,
): ColourLevel {
  const { FORCE_COLOR: forced, NO_COLOR: refused, TERM: kind, COLORTERM: depth } = environment;
  switch (forced) {
    case undefined:
      break;
    case '0':
    case 'false':
      return 0;
    case '2':
      return 2;
    case '3':
      return 3;
    default:
      return 1;
  }
  if ((refused ?? '') !== '' || !terminal || kind === 'dumb') return 0;
  if (depth === 'truecolor' || depth === '24bit') return 3;
  return kind?.includes('256') === true ? 2 : 1;
}

/** Emphasis for what goes to standard output. */
export async function outputPaint(): Promise<Paint> {
  // Asked of the descriptor: `process.stdout` would make a stream of it, which writes later.
  const { isatty } = await import('node:tty');
  const level = colourLevel(isatty(1), process.env);
  if (level === 0) return plainPaint;
  const { Chalk } = await import('chalk');
  const chalk = new Chalk({ level });
  // Of one text each: chalk joins all that it is given, an index of a map with it.
  return {
    title: (text) => chalk.bold.cyan(text),
    strong: (text) => chalk.bold(text),
    faint: (text) => chalk.dim(text),
    warning: (text) => chalk.yellow(text),
  };
}
