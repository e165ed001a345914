import { jsonText } from '../output/json.ts';
import { planText } from '../output/study-plan.ts';
import { counted } from '../output/study-words.ts';
import { describePlan } from '../study/describe.ts';
import type { Plan } from '../study/plan.ts';
import { countOf, type Shard } from '../study/shard.ts';
import { outputPaint } from './colour.ts';
import { writeErr, writeOut } from './streams.ts';
import type { StudyPrint } from './study.ts';

/** Prints what a study is going to do. */
export async function printPlan(
  plan: Plan,
  shard: Shard | undefined,
  { format }: Pick<StudyPrint, 'format'>,
): Promise<void> {
  const described = describePlan(plan);
  if (format === 'json') writeOut(jsonText(described));
  else writeOut(planText(described, await outputPaint()));
  if (shard === undefined) return;
  const { k, n } = shard;
  writeErr(
    `Shard ${k}/${n} has ${countOf(shard, plan.count)} of ${counted(plan.count, 'case')}.\n`,
  );
}
