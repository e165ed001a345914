import { parseNumber } from '../config/number.ts';
import { InputError } from '../config/problem.ts';

/** A share of a study: the cases i (from 0) with i mod n + 1 = k. */
export interface Shard {
  /** From 1 to n */
  readonly k: number;
  readonly n: number;
}

/** What `--shard` asks for: a shard, or that of the surroundings, whose total may be given. */
export type ShardWish =
  | { readonly from: 'user'; readonly shard: Shard }
  | { readonly from: 'surroundings'; readonly total: number | undefined };

/** A shard, and where it was found. */
export interface FoundShard {
  readonly shard: Shard;
  /** For people: the variables and their values */
  readonly source: string;
}

type Environment = Readonly<Record<string, string | undefined>>;

/** How a system that runs many jobs tells each one which it is. */
interface JobSystem {
  readonly name: string;
  /** The variable that is set in each of its jobs, and only there */
  readonly index: string;
  readonly find: (variables: Variables, total: number | undefined) => FoundShard;
}

const SYSTEMS: readonly JobSystem[] = [
  { name: 'Slurm', index: 'SLURM_ARRAY_TASK_ID', find: slurm },
  { name: 'Kubernetes', index: 'JOB_COMPLETION_INDEX', find: kubernetes },
  { name: 'GNU parallel', index: 'PARALLEL_SEQ', find: gnuParallel },
  { name: 'a CI with parallel jobs', index: 'CI_NODE_INDEX', find: parallelJobs },
];

/**
 * Reads a shard: `3/8`, `auto`, or `auto/8` where the surroundings tell the index alone.
 * @returns undefined where the text is none of them, or k is not within 1 to n
 */
export function parseShard(text: string): ShardWish | undefined {
  const [, k = '', n] = /^(auto|[1-9]\d{0,8})(?:\/([1-9]\d{0,8}))?$/.exec(text) ?? [];
  const total = n === undefined ? undefined : Number(n);
  if (k === 'auto') return { from: 'surroundings', total };
  if (total === undefined || k === '' || Number(k) > total) return undefined;
  return { from: 'user', shard: { k: Number(k), n: total } };
}

/**
 * Finds the shard of a job from the variables that its system sets.
 * @param environment of the process
 * @param total of the shards, where the user says it; needed where the system does not tell it
 * @throws InputError where no system has set its variable, two of them contradict each other, or what
 *   they say is no shard
 */
export function shardOfSurroundings(environment: Environment, total?: number): FoundShard {
  const variables = new Variables(environment);
  const found = SYSTEMS.filter(({ index }) => variables.has(index)).map(({ find }) =>
    find(variables, total),
  );
  const [first] = found;
  if (first === undefined) {
    const known = SYSTEMS.map(({ name, index }) => `${index} (${name})`).join(', ');
    throw refuse(
      'none of them',
      `one of ${known}`,
      'outside a job array, say which: `--shard 3/8`',
    );
  }
  const other = found.find(({ shard }) => shard.k !== first.shard.k || shard.n !== first.shard.n);
  if (other === undefined) return first;
  throw refuse(
    `${told(first)} and ${told(other)}`,
    'variables that agree',
    'say which shard is meant: `--shard k/n` with the variable in place of k',
  );
}

/** How many of the first `count` cases belong to a shard. */
export function countOf({ k, n }: Shard, count: number): number {
  return Math.max(0, Math.floor((count - k) / n) + 1);
}

/** The variables of the surroundings, read strictly. */
class Variables {
  readonly #environment: Environment;

  constructor(environment: Environment) {
    this.#environment = environment;
  }

  has(name: string): boolean {
    return (this.#environment[name] ?? '') !== '';
  }

  /** @throws InputError unless it is a whole number, not less than `least` */
  whole(name: string, least: number): number {
    const text = this.#environment[name] ?? '';
    const value = parseNumber(text);
    if (value !== undefined && Number.isSafeInteger(value) && value >= least) return value;
    throw refuse(
      text === '' ? `no ${name}` : `${name}=${text}`,
      `${name} as a whole number from ${least}`,
      'say which shard is meant: `--shard 3/8`',
    );
  }
}

/** A job array counts from any number on; its shards are its tasks. */
function slurm(variables: Variables, total: number | undefined): FoundShard {
  const task = variables.whole('SLURM_ARRAY_TASK_ID', 0);
  const first = variables.whole('SLURM_ARRAY_TASK_MIN', 0);
  const count = variables.whole('SLURM_ARRAY_TASK_COUNT', 1);
  const last = variables.has('SLURM_ARRAY_TASK_MAX')
    ? variables.whole('SLURM_ARRAY_TASK_MAX', 0)
    : first + count - 1;
  if (last - first + 1 !== count || task > last) {
    throw refuse(
      `SLURM_ARRAY_TASK_ID=${task} of ${count} tasks from ${first} to ${last}`,
      'a job array without gaps, as in `--array=1-8`',
      'or say which shard is meant: `--shard k/n` with the variable in place of k',
    );
  }
  return agreeing(
    { k: task - first + 1, n: count },
    total,
    `SLURM_ARRAY_TASK_ID=${task}, of ${first} to ${last}`,
  );
}

/** Jobs of a CI that starts each so many times, and sets index and total. */
function parallelJobs(variables: Variables, total: number | undefined): FoundShard {
  const k = variables.whole('CI_NODE_INDEX', 1);
  const n = variables.whole('CI_NODE_TOTAL', 1);
  return agreeing({ k, n }, total, `CI_NODE_INDEX=${k}, CI_NODE_TOTAL=${n}`);
}

function kubernetes(variables: Variables, total: number | undefined): FoundShard {
  const index = variables.whole('JOB_COMPLETION_INDEX', 0);
  return ofTotal(index + 1, total, `JOB_COMPLETION_INDEX=${index}`);
}

function gnuParallel(variables: Variables, total: number | undefined): FoundShard {
  const k = variables.whole('PARALLEL_SEQ', 1);
  return ofTotal(k, total, `PARALLEL_SEQ=${k}`);
}

/** A shard of which the surroundings tell the total, too: the user's must be the same. */
function agreeing(shard: Shard, total: number | undefined, source: string): FoundShard {
  if (total !== undefined && total !== shard.n) {
    throw refuse(
      `${source}, which makes ${shard.n} shards`,
      `${total} shards, as \`--shard auto/${total}\` says`,
      'drop the total, or say which shard is meant: `--shard k/n`',
    );
  }
  return ofTotal(shard.k, shard.n, source);
}

function ofTotal(k: number, total: number | undefined, source: string): FoundShard {
  if (total === undefined) {
    throw refuse(source, 'how many shards there are, too', 'say it behind: `--shard auto/8`');
  }
  if (k <= total) return { shard: { k, n: total }, source };
  throw refuse(
    `${source}, shard ${k} of ${total}`,
    `no more than ${total} shards`,
    'mend the total behind `--shard auto/`, or start fewer jobs',
  );
}

function told({ shard, source }: FoundShard): string {
  return `${source} (shard ${shard.k}/${shard.n})`;
}

function refuse(found: string, expected: string, hint: string): InputError {
  return new InputError([{ code: 'shard', file: '--shard auto', found, expected, hint }]);
}
