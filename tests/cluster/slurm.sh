#!/bin/bash
# Runs examples/cluster/slurm.sh on a real Slurm and holds its results against the same study without
# shards, byte for byte: an example study, and a longer one of which one task is taken away while it
# runs and given back to the queue, as a cluster does with a node that it needs elsewhere, and another
# one is killed without a warning, so that the array has to be submitted again.
#
#   bash tests/cluster/slurm.sh     by hand, as root on Debian; installs slurm-wlm and munge
#
# The daemons belong to this check alone: their key, ports, configuration and states are in a temporary
# folder, and they end with it.
set -euo pipefail
source "$(dirname "$0")/setting.sh"

export SHARDS=4 CPUS=1

daemons=()
clean_up() {
  for pid in "${daemons[@]}"; do kill "$pid" && wait "$pid"; done 2>/dev/null
}

start() {
  "$@" >"$etc/$1.out" 2>&1 &
  daemons+=($!)
}

install 'slurm-wlm munge' 'munged slurmctld slurmd sbatch'
[ "$(id -u)" -eq 0 ] || fail 'only root can start the daemons'

# Beside the study: Slurm does not want spaces in the names of its own files.
etc=$(dirname "$work")
chmod 755 "$etc" # as the daemon of the credentials wants it; its key is for root alone
mkdir "$etc/state" "$etc/spool"
(umask 077 && head -c 1024 /dev/urandom >"$etc/munge.key")
export SLURM_CONF=$etc/slurm.conf
node=$(hostname -s)
cat >"$SLURM_CONF" <<EOF
ClusterName=trial
SlurmctldHost=$node(127.0.0.1)
SlurmctldPort=26817
SlurmdPort=26818
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
# A task given back to the queue waits until its credential has run out: seconds, not minutes.
AuthInfo=socket=$etc/munge.socket,cred_expire=5
MpiDefault=none
# Neither systemd nor control groups are needed.
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
AccountingStorageType=accounting_storage/none
JobAcctGatherType=jobacct_gather/none
StateSaveLocation=$etc/state
SlurmdSpoolDir=$etc/spool
SlurmctldPidFile=$etc/slurmctld.pid
SlurmdPidFile=$etc/slurmd.pid
NodeName=$node NodeAddr=127.0.0.1 CPUs=2 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
EOF

start munged --foreground --key-file="$etc/munge.key" --socket="$etc/munge.socket" \
  --pid-file="$etc/munged.pid" --log-file="$etc/munged.log" --seed-file="$etc/munged.seed"
start slurmctld -D
start slurmd -D -N "$node"
is_up() { sinfo --noheader --states=idle 2>/dev/null | grep -q idle; }
within 60 "Slurm did not come up: $(tail -n 5 "$etc"/*.out)" is_up
sinfo --version
sinfo

# submit STUDY OUT: hands the array and its merge to Slurm.
submit() {
  echo
  echo "--- $1 in an array of $SHARDS tasks, then merged"
  export STUDY=$1 OUT=$2
  bash "$root/examples/cluster/slurm.sh"
  array=$(squeue --noheader --name=shards --format=%F | head -n 1)
}

has_ended() { [ -z "$(squeue --noheader)" ]; }

# wait_for_all: waits for array and merge, and shows what became of the tasks.
wait_for_all() {
  within 900 'the jobs did not end' has_ended
  scontrol --oneliner show job "$array" |
    grep -oE '(ArrayTaskId|JobState|Restarts|ExitCode)=\S+' | paste -d ' ' - - - - | sort
  cat "$OUT-of-$SHARDS"-*.txt
  head -n 16 "$OUT.txt"
}

# conclude: holds the merged results against those without shards.
conclude() {
  spinledger study "$STUDY" --out "$OUT-whole" --format none
  verdict "$OUT" "$OUT-whole"
}

submit strategies strategies
wait_for_all
conclude

# The example is over in seconds: finer steps of another one give time to take a task away.
node - "$root/examples/studies/store-size.json" finer.json <<'EOF'
const { readFileSync, writeFileSync } = require('node:fs');
const { dirname, resolve } = require('node:path');
const [from, to] = process.argv.slice(2);
const { $schema, ...study } = JSON.parse(readFileSync(from, 'utf8'));
const found = (name) => (name.startsWith('.') ? resolve(dirname(from), name) : name);
for (const list of ['cars', 'stores', 'strategies', 'cycles']) study[list] = study[list].map(found);
for (const axis of study.vary) (axis.range ?? axis.logarithmic).count = 24;
writeFileSync(to, JSON.stringify({ ...study, name: 'store-size, finer' }));
EOF
submit finer.json finer
part() { echo "$OUT-of-$SHARDS/$1"; }
finished() { sed 1d "$(part "$1")/journal.jsonl" 2>/dev/null | wc -l; }
has_begun() { [ "$(finished "$1")" -ge 1 ]; }
within 300 'task 2 did not finish a single case' has_begun 2
scontrol requeue "${array}_2"
within 300 'task 3 did not finish a single case' has_begun 3
# Not by Slurm, which would ask the task to end first.
kill -KILL "$(grep -oP '"pid":\K\d+' "$(part 3)/.lock")"
begun=("$(finished 2)" "$(finished 3)")
wait_for_all
scontrol --oneliner show job "${array}_2" | grep -q ' Restarts=1 ' || fail 'task 2 was not taken away'
scontrol --oneliner show job "${array}_3" | grep -q ' JobState=FAILED ' || fail 'task 3 was not killed'
[ ! -e "$(part 3)/results.jsonl" ] || fail 'task 3 was killed too late'
[ ! -e "$OUT/results.jsonl" ] || fail 'shards were merged of which one was not finished'
echo 'PASSED: the merge was refused while a shard was unfinished'

submit finer.json finer
wait_for_all
conclude
all=$(wc -l <"$(part 2)/results.jsonl")
[ "${begun[0]}" -lt "$all" ] || fail "task 2 was taken away too late: its $all cases were finished"
echo "PASSED: task 2 was taken away with ${begun[0]} of its $all cases finished, task 3 killed with" \
  "${begun[1]}, and both went on from there"
