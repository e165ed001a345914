import { DefectError } from '../config/problem.ts';
import type { Plan } from './plan.ts';

/**
 * Reads a study and plans its cases.
 *
 * @param path of the study's JSON file, or the bare name of a study of the example set
 * @throws InputError with every problem of the file and of the files that it names
 */
export async function loadStudy(path: string): Promise<Plan> {
  throw new DefectError(`${path} cannot be planned yet`);
}
