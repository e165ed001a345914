# What the checks in this folder share: a temporary folder, `spinledger` on the PATH, the verdict.
# Sourced. `clean_up` is called once at the end, however that comes about.

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
# With a space in its name, as many a home folder has one.
work="$(mktemp -d)/a study"
mkdir "$work"

at_end() {
  trap '' INT TERM
  clean_up || true
  rm -rf "$(dirname "$work")"
}
trap at_end EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

fail() {
  echo "FAILED: $*" >&2
  exit 1
}

# install PACKAGES for PROGRAMS: nothing is installed where the programs are there.
install() {
  local packages=$1 program
  for program in $2; do
    command -v "$program" >/dev/null && continue
    [ "$(id -u)" -eq 0 ] || fail "$program is not installed; root can install it from Debian"
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $packages
    return
  done
}

# within SECONDS WHAT CONDITION...: waits until the condition holds.
within() {
  local end=$((SECONDS + $1)) what=$2
  shift 2
  until "$@"; do
    [ "$SECONDS" -lt "$end" ] || fail "$what"
    sleep 0.2
  done
}

# verdict MERGED WHOLE: the same bytes in each file that does not tell of the time.
verdict() {
  local file different=0
  for file in manifest.json results.csv results.jsonl; do
    if cmp "$1/$file" "$2/$file"; then
      echo "same bytes: $file $(sha256sum <"$1/$file" | cut -c 1-16) ($(wc -c <"$1/$file") bytes)"
    else
      different=1
    fi
  done
  [ "$different" -eq 0 ] || fail 'the merged shards are not the study without shards'
  [ "$(wc -l <"$1/results.jsonl")" -ge 8 ] || fail 'too few cases to say anything'
  echo "PASSED: $(wc -l <"$1/results.jsonl") cases in $SHARDS shards, merged, are the study without shards"
}

[ -f "$root/dist/cli.js" ] || fail "the program is not built: npm run build"
mkdir "$work/bin"
ln -s "$root/bin/spinledger.js" "$work/bin/spinledger"
export PATH="$work/bin:$PATH"
cd "$work"
