import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jsonSchemas, SCHEMA_NAMES, schemaText } from '../../src/config/json-schema.ts';
import { EXAMPLES } from './drafts.ts';

interface Node {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly oneOf?: readonly Node[];
  readonly anyOf?: readonly Node[];
  readonly items?: Node;
  readonly const?: string;
  readonly additionalProperties?: unknown;
}

/** Every property of a schema with its path, in all alternatives. */
function properties(node: Node, path = ''): [string, Node][] {
  const own = Object.entries(node.properties ?? {}).flatMap(([key, value]): [string, Node][] => [
    [`${path}.${key}`, value],
    ...properties(value, `${path}.${key}`),
  ]);
  const others = [...(node.oneOf ?? []), ...(node.anyOf ?? [])];
  const entries = node.items === undefined ? [] : properties(node.items, `${path}[]`);
  return [...own, ...entries, ...others.flatMap((inner) => properties(inner, path))];
}

describe('the JSON Schemas', () => {
  it.each(SCHEMA_NAMES)('of a %s is the one that the example set ships', (name) => {
    const shipped = readFileSync(join(EXAMPLES, 'schema', `${name}.json`), 'utf8');
    expect(shipped, `examples/schema/${name}.json is not what the zod schema makes`).toBe(
      schemaText(jsonSchemas()[name]),
    );
  });

  it.each(SCHEMA_NAMES)('of a %s has a title and describes every key but the tags', (name) => {
    const schema = jsonSchemas()[name];
    expect(schema).toMatchObject({ title: `spinledger ${name}` });
    const all = properties(schema as Node);
    expect(all.length).toBeGreaterThan(15);
    const bare = all.filter(([, node]) => node.const === undefined && !node.description);
    expect(bare.map(([path]) => path)).toEqual([]);
  });

  it('gives editors defaults, ranges with units, and the refusal of unknown keys', () => {
    expect(jsonSchemas().store).toMatchObject({
      additionalProperties: false,
      properties: {
        initial_energy_pct: { default: 0, minimum: 0, maximum: 100 },
        power_limit_kW: { description: expect.stringContaining('From 0.1 to 1000 kW') },
      },
    });
  });

  it('does not ask for keys that have a default', () => {
    const { car, store } = jsonSchemas();
    expect(car).toMatchObject({ required: expect.not.arrayContaining(['rotating_mass_kg']) });
    expect(store).toMatchObject({ required: expect.not.arrayContaining(['initial_energy_pct']) });
  });
});
