import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parse, parseAllDocuments } from 'yaml';
import { PROGRAM, ROOT, spinledger, temporaryFolder } from './program.ts';

const EXAMPLES = join(ROOT, 'examples', 'cluster');
/** Results of the study without shards, made once. */
const WHOLE = mkdtempSync(join(tmpdir(), 'spinledger-whole-'));
const STUDY_NAME = 'hops study.json';
const { PATH } = process.env;

/** Seven cases, which four shards do not share evenly. */
const STUDY = {
  name: 'hops',
  cars: ['estate'],
  stores: ['rim-45'],
  strategies: ['coast'],
  cycles: [{ name: 'hop', time_s: [0, 8, 20, 28, 40], speed_kmh: [0, 40, 40, 0, 0] }],
  vary: [{ path: 'car.mass_kg', range: { start: 1400, stop: 2000, count: 7 } }],
};

/** What the files of examples/cluster call, played by a few lines each. */
const PROGRAMS = {
  spinledger: `exec "${process.execPath}" "${PROGRAM}" "$@"`,
  npx: 'exec "$@"',
  npm: '[ "$*" = ci ]',
  // Tasks one by one, then the number of the job as a cluster among several says it.
  sbatch: `
    for option; do
      case $option in
        --array=*) tasks=\${option#*=} ;;
        --cpus-per-task=*) export SLURM_CPUS_PER_TASK=\${option#*=} ;;
        --dependency=*) [ "$option" = --dependency=afterany:7 ] || exit 1 ;;
      esac
    done
    job=$(cat)
    if [ -z "\${tasks:-}" ]; then bash -c "$job"; exit; fi
    export SLURM_ARRAY_TASK_MIN=\${tasks%-*} SLURM_ARRAY_TASK_MAX=\${tasks#*-}
    export SLURM_ARRAY_TASK_COUNT=$((SLURM_ARRAY_TASK_MAX - SLURM_ARRAY_TASK_MIN + 1))
    for task in $(seq "$SLURM_ARRAY_TASK_MIN" "$SLURM_ARRAY_TASK_MAX"); do
      SLURM_ARRAY_TASK_ID=$task bash -c "$job" >&2 || exit
    done
    echo '7;here'`,
  // Jobs one by one; the options are those of the example.
  parallel: `
    [ "$1 $3 $5 $7" = '--sshlogin --workdir --jobs --quote' ] || exit 1
    shift 7
    command=()
    while [ "$1" != ::: ]; do command+=("$1"); shift; done
    shift
    failed=0
    for argument; do
      PARALLEL_SEQ=$argument "\${command[@]//'{}'/$argument}" || failed=$((failed + 1))
    done
    exit "$failed"`,
};

/** A folder with the study and the programs of a cluster. */
function cluster() {
  const folder = join(temporaryFolder(), 'a study');
  mkdirSync(join(folder, 'bin'), { recursive: true });
  for (const [name, lines] of Object.entries(PROGRAMS)) {
    const file = join(folder, 'bin', name);
    writeFileSync(file, `#!/bin/bash\n${lines}\n`);
    chmodSync(file, 0o755);
  }
  writeFileSync(join(folder, STUDY_NAME), JSON.stringify(STUDY));

  const run = (
    command: readonly string[],
    env: Readonly<Record<string, string>> = {},
    expected = 0,
  ) => {
    const [program = '', ...args] = command;
    const { status, stdout, stderr } = spawnSync(program, args, {
      cwd: folder,
      env: { PATH: `${join(folder, 'bin')}:${PATH}`, ...env },
      encoding: 'utf8',
    });
    expect(status, `${command.join(' ')}\n${stdout}\n${stderr}`).toBe(expected);
  };
  const expectWhole = (merged: string) => {
    for (const file of ['manifest.json', 'results.csv', 'results.jsonl']) {
      const part = readFileSync(join(folder, merged, file));
      expect(part.equals(readFileSync(join(WHOLE, 'results', file))), file).toBe(true);
    }
    const lines = readFileSync(join(folder, merged, 'results.jsonl'), 'utf8')
      .trimEnd()
      .split('\n');
    expect(lines).toHaveLength(7);
  };
  return { folder, run, expectWhole };
}

function read(name: string): string {
  return readFileSync(join(EXAMPLES, name), 'utf8');
}

/** A command as CI systems write it, with their expressions put in. */
function filled(command: string, expressions: Readonly<Record<string, string>>): string {
  return command.replace(/\$\{\{ (\S+) \}\}/g, (_, name: string) => {
    expect(expressions).toHaveProperty([name]);
    return expressions[name]!;
  });
}

describe('a study on a cluster, as examples/cluster runs it', () => {
  const settings = { STUDY: STUDY_NAME, OUT: 'merged' };

  beforeAll(() => {
    writeFileSync(join(WHOLE, STUDY_NAME), JSON.stringify(STUDY));
    const args = ['study', STUDY_NAME, '--out', 'results', '--jobs', '1', '--format', 'none'];
    spinledger(0, args, { cwd: WHOLE });
  });
  afterAll(() => rmSync(WHOLE, { recursive: true, force: true }));

  it.each([['slurm.sh'], ['parallel.sh']])(
    'has the bytes of the study without shards: %s',
    (name) => {
      const { folder, run, expectWhole } = cluster();
      spinledger(0, ['init', 'mine'], { cwd: folder });
      run([join(folder, 'mine', 'cluster', name)], { ...settings, SHARDS: '3', CPUS: '1' });
      expectWhole('merged');
    },
  );

  it('has the bytes of the study without shards: kubernetes.yaml', () => {
    const { run, expectWhole } = cluster();
    const documents = parseAllDocuments(read('kubernetes.yaml'));
    expect(documents.flatMap(({ errors }) => errors)).toEqual([]);
    const [variables, shards, merge] = documents.map((document) => document.toJS());
    const { SHARDS, JOBS } = variables.data;
    expect(shards.spec.completionMode).toBe('Indexed');
    expect(`${shards.spec.completions} ${shards.spec.parallelism}`).toBe(`${SHARDS} ${SHARDS}`);
    const [shard] = shards.spec.template.spec.containers;
    expect(shard.resources.requests.cpu).toBe(JOBS);
    for (let index = 0; index < shards.spec.completions; index++) {
      const env = { ...variables.data, ...settings, JOB_COMPLETION_INDEX: `${index}` };
      run([...shard.command, ...shard.args], env);
    }
    const [last] = merge.spec.template.spec.containers;
    run([...last.command, ...last.args], { ...variables.data, ...settings });
    expectWhole('merged');
  });

  it('has the bytes of the study without shards, and is held by gates: ci-parallel.yml', () => {
    const { folder, run, expectWhole } = cluster();
    const { variables, shard, gate } = parse(read('ci-parallel.yml'));
    const env = { ...variables, STUDY: settings.STUDY, ACCEPTED: join(WHOLE, 'results') };
    const script = (lines: readonly string[]) => [
      'bash',
      '-eo',
      'pipefail',
      '-c',
      lines.join('\n'),
    ];
    for (let index = 1; index <= shard.parallel; index++) {
      const node = { CI_NODE_INDEX: `${index}`, CI_NODE_TOTAL: `${shard.parallel}` };
      run(script(shard.script), { ...env, ...node });
    }
    run(script(gate.script), env);
    expectWhole('results');

    const wish = { name: 'half', figure: 'saving_vs_stop_start_pct', at_least: 50 };
    writeFileSync(join(folder, 'wish.json'), JSON.stringify({ name: 'wish', gates: [wish] }));
    run(script(gate.script), { ...env, GATES: 'wish.json' }, 3);
    expect(readFileSync(join(folder, 'gates.xml'), 'utf8')).toContain('failures="1"');
  });

  it('has the bytes of the study without shards, and is held by gates: ci-matrix.yml', () => {
    const { folder, run, expectWhole } = cluster();
    const { env, jobs } = parse(read('ci-matrix.yml'));
    const summary = join(folder, 'summary.md');
    const variables = {
      ...env,
      STUDY: settings.STUDY,
      ACCEPTED: join(WHOLE, 'results'),
      GITHUB_STEP_SUMMARY: summary,
    };
    const steps = (job: { steps: { run?: string }[] }, expressions: Record<string, string>) => {
      for (const { run: command } of job.steps) {
        if (command === undefined) continue;
        run(['bash', '--norc', '-e', '-c', filled(command, expressions)], variables);
      }
    };
    const { shard: places } = jobs.shard.strategy.matrix;
    for (const place of places) {
      steps(jobs.shard, { 'matrix.shard': `${place}`, 'strategy.job-total': `${places.length}` });
    }
    steps(jobs.gate, {});
    expectWhole('results');
    expect(readFileSync(summary, 'utf8')).toContain('|');
  });
});

describe('the files of examples/cluster', () => {
  it('are listed among the examples', () => {
    const list = readFileSync(join(ROOT, 'examples', 'README.md'), 'utf8');
    for (const name of readdirSync(EXAMPLES)) expect(list).toContain(`\`cluster/${name}\``);
  });
});
