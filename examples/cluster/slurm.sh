#!/bin/bash
# Runs a study as a Slurm job array, a shard a task, and merges the shards when all have ended. Start
# it on a login node, in a folder that every node sees; `spinledger` has to be on the PATH there:
#
#   bash slurm.sh [options for sbatch, such as --partition=long --time=8:00:00]
#
# Start it again after a failure: finished cases are kept, only the others are simulated.
set -eu

export STUDY=${STUDY:-strategies} # a study file, or the name of a shipped example
export OUT=${OUT:-results}        # folder of the merged results
export SHARDS=${SHARDS:-4}        # tasks of the array
CPUS=${CPUS:-2}                   # CPUs of a task, which simulates as many cases at a time

# The count is in the name, so that another count does not meet the shards of this one.
export PARTS="$OUT-of-$SHARDS"

# With the total said, a task that is submitted alone does not take itself for the whole study.
array=$(
  sbatch --parsable --job-name=shards --array="1-$SHARDS" --cpus-per-task="$CPUS" \
    --output="$PARTS-%a.txt" --open-mode=append "$@" <<'JOB'
#!/bin/bash
exec spinledger study "$STUDY" --shard "auto/$SHARDS" --jobs "$SLURM_CPUS_PER_TASK" \
  --out "$PARTS/$SLURM_ARRAY_TASK_ID" --format none
JOB
)

# Not `afterok`: a case that fails belongs into the results as it would without shards, and a shard
# that is missing or unfinished is refused by the merge.
sbatch --job-name=merge --dependency="afterany:${array%%;*}" --output="$OUT.txt" "$@" <<'JOB'
#!/bin/bash
exec spinledger study --merge "$PARTS"/* --out "$OUT"
JOB
