import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Problem } from '../../src/config/problem.ts';
import { loadStudy } from '../../src/study/load-study.ts';
import type { Plan, PlannedCase } from '../../src/study/plan.ts';
import { folderWith, problemsOf } from '../config/drafts.ts';

/** A study of one case, which tests extend. */
export const ONE = {
  name: 'one',
  cars: ['estate'],
  stores: ['rim-60'],
  strategies: ['coast'],
  cycles: ['udds'],
};

/** Writes a study into a folder of its own, a line an element of each list, with other files beside it. */
export function writtenStudy(study: object, files: Readonly<Record<string, string>> = {}): string {
  const folder = folderWith(files);
  const path = join(folder, 'study.json');
  writeFileSync(path, JSON.stringify(study, null, 2));
  return path;
}

/** The plan of a study. */
export function planOf(study: object, files?: Readonly<Record<string, string>>): Promise<Plan> {
  return loadStudy(writtenStudy(study, files));
}

/** What is wrong with a study; the names of its files without their folder. */
export async function studyProblems(
  study: object,
  files?: Readonly<Record<string, string>>,
): Promise<readonly Problem[]> {
  const problems = await problemsOf(planOf(study, files));
  return problems.map(({ file, ...rest }) => ({
    ...rest,
    ...(file !== undefined && { file: file.slice(file.lastIndexOf('/') + 1) }),
  }));
}

/** All cases of a plan. */
export function casesOf(plan: Plan): PlannedCase[] {
  return Array.from({ length: plan.count }, (_, index) => plan.caseAt(index));
}

/** A plan with something of everything: 16 combinations, 4 excluded, 2 listed cases that are the same. */
export async function mixedStudy(): Promise<Plan> {
  return planOf(
    {
      ...ONE,
      cycles: ['udds', 'nycc'],
      vary: [
        { path: 'store.power_limit_kW', range: { start: 10, stop: 40, count: 4 } },
        { pairs: 'p.csv' },
      ],
      exclude: [{ cycle: 'nycc', 'store.power_limit_kW': { above: 25 } }],
      cases: [{ cycle: 'udds' }, { cycle: 'udds' }],
      outputs: { logs: true },
    },
    { 'p.csv': 'car.mass_kg,strategy.coast.floor_pct\n1800,5\n1500,20\n' },
  );
}
