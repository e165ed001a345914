import type { Comparison } from '../study/comparison.ts';
import type { GateResult } from '../study/gates.ts';
import { CaseLabels, gateCondition, gateOutcome, valueOutcome } from './compare-words.ts';
import { junitXml } from './junit.ts';
import { printable } from './problems.ts';

/** So many cases of a gate are named in messages. */
const NAMED = 5;

/**
 * The gates that do not hold, for people who see nothing but a log: each with what it asks for and
 * the worst cases.
 * @returns lines without line ends; none where all hold
 */
export function missedGateLines(comparison: Comparison): string[] {
  const labels = new CaseLabels(comparison);
  return (comparison.gates?.results ?? [])
    .filter(({ holds }) => !holds)
    .flatMap((result) => [
      `gate does not hold: ${printable(result.gate.name)}: ${gateCondition(result.gate)}`,
      ...missedValueLines(result, labels),
    ]);
}

/** The worst of what a gate does not hold for, a line each. */
export function missedValueLines(result: GateResult, labels: CaseLabels): string[] {
  const { gate, worst, missed, why } = result;
  if (why !== null) return [`  ${gateOutcome(result, labels)}`];
  const named = worst.slice(0, NAMED);
  const more = missed - named.length;
  return [
    ...named.map((value) => `  ${valueOutcome(gate, value, labels)}`),
    ...(more > 0 ? [`  and ${more} more of ${result.looked}`] : []),
  ];
}

/** The gates as JUnit XML: one suite with a test a gate, spelled as in every other form. */
export function gatesJunit(comparison: Comparison): string {
  const labels = new CaseLabels(comparison);
  const cases = (comparison.gates?.results ?? []).map((result) => {
    const condition = gateCondition(result.gate);
    const found = result.why === null ? 'found' : 'but';
    const message = `asks ${condition}; ${found} ${gateOutcome(result, labels)}`;
    const text = [condition, ...missedValueLines(result, labels)].join('\n');
    return {
      name: printable(result.gate.name),
      condition: message,
      ...(!result.holds && { failure: { message, text } }),
    };
  });
  return junitXml(printable(comparison.gates?.name ?? ''), cases);
}
