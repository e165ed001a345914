#!/bin/bash
# Runs examples/cluster/parallel.sh with the real GNU parallel, here and on two machines that are
# reached as by ssh (through a shell, with no variable of this one), and holds the results against the
# same study without shards, byte for byte.
#
#   bash tests/cluster/parallel.sh     by hand; installs parallel on Debian if root runs it
set -euo pipefail
source "$(dirname "$0")/setting.sh"

export STUDY=${STUDY:-strategies} SHARDS=4
clean_up() { :; }

install parallel parallel
export PARALLEL_HOME=$work/settings
mkdir "$PARALLEL_HOME"
parallel --version | head -n 1

# Options, the machine, perhaps a dash, and then the command, which the other side's shell reads.
# Beside the study: the way to a machine is a shell line, in which a space parts words.
machine=$(dirname "$work")/machine
cat >"$machine" <<'EOF'
#!/bin/bash
while [[ $1 == -* ]]; do shift; done
host=$1
shift
[ "$1" = -- ] && shift
cd / && echo "$host" >>"$MACHINES"
exec env -i HOME="$HOME" PATH="$PATH" SHELL=/bin/bash bash -c "$*"
EOF
chmod +x "$machine"
export MACHINES=$work/machines.txt

echo '--- the study without shards'
spinledger study "$STUDY" --out whole --format none
echo "--- the study in $SHARDS shards on this machine"
OUT=here bash "$root/examples/cluster/parallel.sh" >/dev/null
verdict here whole
echo "--- the study in $SHARDS shards on two machines"
OUT=there HOSTS=one,two PARALLEL_SSH="$machine" bash "$root/examples/cluster/parallel.sh" >/dev/null
[ "$(sort -u "$MACHINES" | xargs)" = 'one two' ] || fail 'not both machines had shards'
verdict there whole
