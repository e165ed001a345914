/** A condition that was tested. */
export interface TestCase {
  readonly name: string;
  /** What it asks for; stands in the output of a passed one. */
  readonly condition: string;
  /** Why it does not hold: in a line, and at length; left out where it holds. */
  readonly failure?: { readonly message: string; readonly text: string };
}

/**
 * Tests as JUnit XML, in the form that CI systems read: one suite with a case a test. It has no
 * times, so that the same results give the same bytes.
 *
 * Elements, attributes and their order follow the JUnit XSD of common practice, from memory and not
 * verified: `testsuites` > `testsuite` (name, tests, failures, errors, skipped, time) > `testcase`
 * (name, classname, time) > `failure` (message, type) or `system-out`.
 *
 * @param suite its name
 * @param cases in their order
 */
export function junitXml(suite: string, cases: readonly TestCase[]): string {
  const failures = cases.filter(({ failure }) => failure !== undefined).length;
  const counts = `tests="${cases.length}" failures="${failures}" errors="0"`;
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites ${counts}>`,
    `  <testsuite name="${attribute(suite)}" ${counts} skipped="0" time="0">`,
    ...cases.flatMap((one) => caseLines(suite, one)),
    '  </testsuite>',
    '</testsuites>',
    '',
  ].join('\n');
}

function caseLines(suite: string, { name, condition, failure }: TestCase): string[] {
  const open = `    <testcase name="${attribute(name)}" classname="${attribute(suite)}" time="0">`;
  const inside =
    failure === undefined
      ? `<system-out>${content(condition)}</system-out>`
      : `<failure message="${attribute(failure.message)}" type="gate">${content(failure.text)}</failure>`;
  return [open, `      ${inside}`, '    </testcase>'];
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** A text between tags. */
function content(text: string): string {
  return representable(text).replace(/[&<>]/g, (character) => ENTITIES[character] ?? '');
}

/** A text in quotation marks, where white space would be taken for blanks. */
function attribute(text: string): string {
  return representable(text).replace(
    /[&<>"'\t\n\r]/g,
    (character) => ENTITIES[character] ?? `&#${character.charCodeAt(0)};`,
  );
}

/**
 * A text without what XML 1.0 cannot hold in any form: control characters, halves of surrogate pairs
 * and two further code points are written out as `\u0007`.
 */
function representable(text: string): string {
  return text.replace(
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is to be replaced
    /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufffe\uffff]|\p{Surrogate}/gu,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
