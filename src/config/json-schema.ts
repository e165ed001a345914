import * as z from 'zod/mini';
import { carFile } from './car-file.ts';
import { gatesFile } from './gates-file.ts';
import { storeFile } from './store-file.ts';
import { strategyFile } from './strategy-file.ts';
import { studyFile } from './study-file.ts';

/** A JSON Schema (draft 2020-12) as plain data. */
export type JsonSchema = Readonly<Record<string, unknown>>;

/** The kinds of file that a schema stands for. */
export const SCHEMA_NAMES = ['car', 'store', 'strategy', 'study', 'gates'] as const;

/**
 * JSON Schemas of the files, made from the very schemas that check them, so that an editor
 * completes and checks what the program accepts. They have no `$id`: a file names its schema by a
 * path of its own, as `"$schema": "../schema/car.json"`.
 */
export function jsonSchemas(): Record<(typeof SCHEMA_NAMES)[number], JsonSchema> {
  return {
    car: made(carFile),
    store: made(storeFile),
    strategy: made(strategyFile),
    study: made(studyFile),
    gates: made(gatesFile),
  };
}

/**
 * A schema as it stands in a file.
 *
 * @returns JSON with two blanks a level and a line end
 */
export function schemaText(schema: JsonSchema): string {
  return `${JSON.stringify(schema, null, 2)}\n`;
}

function made(schema: z.ZodMiniType): JsonSchema {
  return z.toJSONSchema(schema, { io: 'input' });
}
