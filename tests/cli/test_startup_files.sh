#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The simulator reads start-up files (.spiceinit in the working folder and at home; folders named by SPICE_SCRIPTS and
# SPICE_LIB_DIR) that can run commands and change its numbers. None of them is read. That the planted files work is shown
# first, on the simulator's own program.
set -eu
program=${BACKPROBE:?BACKPROBE is the program under test}
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
failures=0
marker=$work/marker
export LC_ALL=C.UTF-8
unset XDG_DATA_HOME

fail() {
    echo "FAILED: $*"
    failures=$((failures + 1))
}

# plant FILE - a start-up file that leaves a mark and puts every solve off (a gmin of 1 S shorts everything to ground)
plant() {
    mkdir -p "$(dirname "$1")"
    printf 'shell touch %s\noption rshunt=1 gmin=1 reltol=0.5\nset temp=400\n' "$marker" >"$1"
}

mkdir -p "$work/place" "$work/home"
cd "$work/place"
HOME=$work/home "$program" predict "$here/fixtures/divider.yaml" --csv >"$work/before" </dev/null
grep -q ',9.00 V,' "$work/before" || fail "the divider does not read 9.00 V: $(cat "$work/before")"

# reads_nothing WHAT [NAME=VALUE...] - with the files planted so, the readings are the same and nothing ran
reads_nothing() {
    what=$1
    shift
    env HOME="$work/home" "$@" "$program" predict "$here/fixtures/divider.yaml" --csv >"$work/after" </dev/null ||
        fail "$what: exit status $?"
    [ ! -e "$marker" ] || fail "$what: was read"
    cmp -s "$work/before" "$work/after" || fail "$what: changed the readings"
    rm -f "$marker"
    echo "$what: looked at"
}

# works WHAT [NAME=VALUE...] - the same files are read by the simulator's own program
works() {
    command -v ngspice >/dev/null || return 0
    printf 'bait\nV1 a 0 1\nR1 a 0 1\n.op\n.end\n' >bait.cir
    what=$1
    shift
    env HOME="$work/home" "$@" ngspice -b bait.cir >/dev/null 2>&1 || true
    [ -e "$marker" ] || fail "$what: the bait does not work: this test would prove nothing"
    rm -f "$marker" bait.cir
}

plant .spiceinit
works "in the working folder"
reads_nothing "in the working folder"
rm .spiceinit

plant "$work/home/.spiceinit"
works "at home"
reads_nothing "at home"
rm "$work/home/.spiceinit"

plant "$work/scripts/spinit"
works "in SPICE_SCRIPTS" SPICE_SCRIPTS="$work/scripts"
reads_nothing "in SPICE_SCRIPTS" SPICE_SCRIPTS="$work/scripts"

plant "$work/lib/scripts/spinit"
reads_nothing "in SPICE_LIB_DIR" SPICE_LIB_DIR="$work/lib"

[ $failures = 0 ]
