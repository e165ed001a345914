#!/bin/bash
# Runs examples/cluster/slurm.sh on a real Slurm and holds its results against the same study without
# shards, byte for byte. One task of the array is taken away while it runs and given back to the
# queue, as a cluster does with a node that it needs elsewhere.
#
#   bash tests/cluster/slurm.sh     by hand, as root on Debian; installs slurm-wlm and munge
#
# The daemons belong to this check alone: their key, ports, configuration and states are in a temporary
# folder, and they end with it.
set -euo pipefail
source "$(dirname "$0")/setting.sh"

export STUDY=${STUDY:-strategies} OUT=results SHARDS=4 CPUS=1
taken_away=2 # task of the array

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

echo "--- the study in an array of $SHARDS tasks, then merged"
bash "$root/examples/cluster/slurm.sh"

part="$OUT-of-$SHARDS/$taken_away"
finished() { sed 1d "$part/journal.jsonl" 2>/dev/null | wc -l; }
has_begun() { [ "$(finished)" -ge 1 ]; }
within 300 "task $taken_away did not finish a single case" has_begun
scontrol requeue "1_$taken_away"
begun=$(finished)
squeue
is_done() { [ -z "$(squeue --noheader)" ]; }
within 900 'the jobs did not end' is_done
scontrol --oneliner show jobs | grep -oE '^JobId=[0-9]+|(ArrayTaskId|JobName|JobState|Restarts|ExitCode)=\S+' | paste -sd ' ' |
  sed 's/ JobId=/\nJobId=/g'
head -n 40 "$OUT"*.txt

scontrol --oneliner show job "1_$taken_away" | grep -q ' Restarts=1 ' || fail "task $taken_away was not taken away"
all=$(wc -l <"$part/results.jsonl")
[ "$begun" -lt "$all" ] || fail "task $taken_away was taken away too late: take a longer study"
echo "task $taken_away was taken away with $begun of its $all cases finished, and ended on its second start"

echo '--- the study without shards'
spinledger study "$STUDY" --out whole --format none
verdict "$OUT" whole
