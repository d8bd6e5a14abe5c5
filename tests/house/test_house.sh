#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The house as it stands keeps its rules, and the check notices each sort of breach when one is planted in a copy.
set -eu
source=${BACKPROBE_SOURCE:?}
build=${BACKPROBE_BUILD:?}
check="$source/tests/house/check_house.sh"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
failures=0

echo "the house as it stands"
sh "$check" "$source" "$build" || failures=1

# fresh - a copy of what the check reads, in $work/house
fresh() {
    rm -rf "$work/house" "$work/build"
    mkdir "$work/house" "$work/build"
    for floor in include circuits sim diagnose render cli; do
        [ ! -d "$source/$floor" ] || cp -R "$source/$floor" "$work/house/"
        mkdir "$work/build/$floor"
        archive="$build/$floor/libbp_$floor.a"
        [ ! -f "$archive" ] || cp "$archive" "$work/build/$floor/"
    done
}

# notices WORDS - the check must fail on the copy and say WORDS
notices() {
    if sh "$check" "$work/house" "$work/build" >"$work/said"; then
        echo "FAILED: a planted breach went unnoticed, expected: $1"
        failures=1
    elif ! grep -qF "$1" "$work/said"; then
        echo "FAILED: the planted breach was not named, expected: $1; the check said:"
        cat "$work/said"
        failures=1
    else
        echo "noticed: $1"
    fi
}

# plant FLOOR CODE - compiles CODE into the copy's archive of FLOOR
plant() {
    printf '%s\n' "$2" >"$work/planted.c"
    ${CC:-cc} -c -o "$work/planted.o" "$work/planted.c"
    ar q "$work/build/$1/libbp_$1.a" "$work/planted.o" 2>/dev/null
}

# one_of FLOOR - a function that FLOOR defines
one_of() {
    nm -g --defined-only "$build/$1/libbp_$1.a" | awk '$2 == "T" { print $3; exit }'
}

fresh
echo '#include "sim/deck.h"' >>"$work/house/circuits/kinds/fuse.c"
notices "includes sim/deck.h, which is a floor above"

fresh
echo '#include "circuits/circuit.h"' >>"$work/house/include/backprobe/report.h"
notices "includes circuits/circuit.h, which is a floor above"

fresh
echo '#  include "../render/canvas.h"' >>"$work/house/sim/models/fuse.c"
notices "includes ../render/canvas.h: write the path from the top folder"

fresh
echo '#include <render/canvas.h>' >>"$work/house/sim/models/fuse.c"
notices "includes render/canvas.h, which is a floor above"

for pair in circuits:sim sim:render render:cli; do
    lower=${pair%:*} upper=${pair#*:}
    called=$(one_of "$upper")
    fresh
    plant "$lower" "void $called(void); void planted(void); void planted(void) { $called(); }"
    notices "$lower/ calls $called, which lives a floor above in $upper/"
done

fresh
rm "$work/build/sim/libbp_sim.a"
notices "sim/ has no"

fresh
twice=$(one_of circuits)
plant sim "void $twice(void); void $twice(void) {}"
notices "$twice is defined in circuits/ and in sim/"

for file in circuits/kinds/relay.c sim/models/relay.c render/symbols/relay.c; do
    fresh
    rm "$work/house/$file"
    notices "kind relay has no $file"
done

fresh
echo 'int x;' >"$work/house/render/symbols/gadget.c"
notices "render/symbols/gadget.c belongs to no kind"

fresh
echo 'case BP_KIND_INDEX_fuse:' >>"$work/house/sim/models/fuse.c"
notices "a switch over kinds"

exit $failures
