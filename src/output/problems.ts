import { type Problem, problemLine } from '../config/problem.ts';

/**
 * Problems of an input as text for people, one below the other in their order. The first line of
 * each says where (in the form that editors jump to), what stands there and what was expected; a
 * hint how to mend it stands below.
 *
 *     car.json:12: engine.idle_speed_rpm: found 75000, expected 300 to 2000
 *       hint: …
 *
 * @returns the text, with a line end after every line
 */
export function problemsText(problems: readonly Problem[]): string {
  return problems.map(problemText).join('');
}

function problemText(problem: Problem): string {
  const { hint } = problem;
  const lines = [problemLine(problem), ...(hint === undefined ? [] : [`  hint: ${hint}`])];
  return lines.map((text) => `${printable(text)}\n`).join('');
}

/**
 * A text in which a file's own characters neither steer the terminal nor break it into lines: control
 * characters, line and paragraph separators, marks that turn the direction of what follows, and what
 * no encoding or XML can hold, are written out as `\u000a`.
 */
export function printable(text: string): string {
  return text.replace(
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is to be replaced
    /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufffe\uffff]|\p{Surrogate}/gu,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
