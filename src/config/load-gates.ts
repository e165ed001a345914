import { checkShape } from './check-shape.ts';
import { DocumentProblems, type JsonDocument, readDocument, shown } from './document.ts';
import { CASE_PARTS, type Gate, type GatesFile, gatesFile } from './gates-file.ts';
import { shippedPath } from './shipped.ts';
import { keyMeant } from './unknown-key.ts';

export type { Gate, GatesFile } from './gates-file.ts';

/** A file of gates, and where it was read, for what shows only when it is held against results. */
export interface LoadedGates {
  readonly content: GatesFile;
  readonly document: JsonDocument;
}

/** The limits that a gate may have, and how each is said. */
export const GATE_LIMITS = {
  at_least: 'at least',
  above: 'above',
  at_most: 'at most',
  below: 'below',
} as const;

/**
 * Loads a file of gates.
 *
 * @param path of its JSON file, or the bare name of one of the example set, such as `no-worse`
 * @throws InputError with every problem of the file
 */
export function loadGates(path: string): LoadedGates {
  return gatesFrom(readDocument(shippedPath('gates', path), 'a gates file'));
}

/**
 * Gates from a document that is already read.
 * @throws InputError with every problem of it
 */
export function gatesFrom(document: JsonDocument): LoadedGates {
  const problems = new DocumentProblems(document);
  const file = checkShape(gatesFile, document, problems);
  checkNames(file.gates ?? [], problems);
  for (const [index, gate] of (file.gates ?? []).entries()) {
    checkLimits(gate, index, problems);
    checkCases(gate, index, problems);
  }
  const { cycle_shares: shares } = file;
  if (shares !== undefined && !Object.values(shares).some((share) => share > 0)) {
    problems.add(['cycle_shares'], {
      code: 'out-of-range',
      found: shown(shares),
      expected: 'a share above 0 for one cycle at least',
      hint: 'leave `cycle_shares` out to give all cycles the same',
    });
  }
  problems.throwIfAny();
  return { content: file as GatesFile, document };
}

/** Messages and JUnit XML know a gate by its name alone. */
function checkNames(gates: readonly Gate[], problems: DocumentProblems): void {
  for (const [index, { name }] of gates.entries()) {
    if (gates.findIndex((other) => other.name === name) === index) continue;
    problems.add(['gates', index, 'name'], {
      code: 'duplicate-name',
      found: shown(name),
      expected: 'a name that no other gate has',
    });
  }
}

function checkLimits(gate: Gate, index: number, problems: DocumentProblems): void {
  const given = Object.keys(GATE_LIMITS).filter((key) => key in gate);
  if (given.length === 0) {
    problems.add(['gates', index], {
      code: 'missing-key',
      expected: `at least one of ${Object.keys(GATE_LIMITS)
        .map((key) => `\`${key}\``)
        .join(', ')}`,
    });
    return;
  }
  const { at_least = -Infinity, above = -Infinity, at_most = Infinity, below = Infinity } = gate;
  const low = Math.max(at_least, above);
  const high = Math.min(at_most, below);
  if (low < high || (low === high && above < low && below > high)) return;
  problems.add(['gates', index], {
    code: 'inconsistent',
    found: given.map((key) => `${key} ${gate[key as keyof typeof GATE_LIMITS]}`).join(' and '),
    expected: 'limits between which there is room: no figure can be within these',
  });
}

/** A varied path has a dot in it; anything else was meant for one of the four parts. */
function checkCases({ cases = {} }: Gate, index: number, problems: DocumentProblems): void {
  const parts: readonly string[] = CASE_PARTS;
  for (const key of Object.keys(cases)) {
    if (key.includes('.') || parts.includes(key)) continue;
    problems.add(['gates', index, 'cases', key], {
      code: 'unknown-key',
      found: shown(cases[key]),
      expected: 'one of `car`, `store`, `strategy`, `cycle`, or the path of a varied number',
      hint: keyMeant(key, parts)?.hint ?? 'a path begins with its part, as `store.power_limit_kW`',
    });
  }
}
