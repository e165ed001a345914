#!/bin/bash
# Runs a study with GNU parallel on machines that share this folder, a shard at a time on each, and
# merges the shards. `spinledger` has to be on the PATH of all of them:
#
#   HOSTS=node1,node2,node3 bash parallel.sh
#
# Start it again after a failure: finished cases are kept, only the others are simulated. A single
# machine does not need it: there, `spinledger study` uses all CPUs by itself.
set -eu

STUDY=${STUDY:-strategies} # a study file, or the name of a shipped example
OUT=${OUT:-results}        # folder of the merged results
SHARDS=${SHARDS:-4}        # more than there are machines, so that a slow one does not hold up the rest
HOSTS=${HOSTS:-:}          # reached by ssh, separated by commas; ":" is this machine

# The count is in the name, so that another count does not meet the shards of this one.
PARTS="$OUT-of-$SHARDS"

# A shard that fails does not end the others, and the merge refuses what is missing or unfinished.
parallel --sshlogin "$HOSTS" --workdir . --jobs 1 --quote \
  spinledger study "$STUDY" --shard "auto/$SHARDS" --out "$PARTS/{}" --format none \
  ::: $(seq "$SHARDS") || echo "$? of $SHARDS shards did not end with status 0" >&2

spinledger study --merge "$PARTS"/* --out "$OUT"
