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

# A copy of what the check reads.
mkdir "$work/house" "$work/build"
for floor in include circuits sim diagnose render cli; do
    [ ! -d "$source/$floor" ] || cp -R "$source/$floor" "$work/house/"
    archive="$build/$floor/libbp_$floor.a"
    if [ -f "$archive" ]; then
        mkdir "$work/build/$floor"
        cp "$archive" "$work/build/$floor/"
    fi
done
cp -R "$work/build" "$work/build-short"

# looks BUILD - the check must fail on the copy; what it says is kept
looks() {
    if sh "$check" "$work/house" "$1" >"$work/said"; then
        echo "FAILED: the check is content with a house full of planted breaches"
        failures=1
    fi
}

# notices WORDS - it must have named this breach, in a line of its own
notices() {
    if grep -qF "$1" "$work/said"; then
        echo "noticed: $1"
    else
        echo "FAILED: a planted breach went unnoticed, expected: $1"
        failures=1
    fi
}

# plant FLOOR CODE - compiles CODE into the copy's archive of FLOOR
plant() {
    printf '%s\n' "$2" >"$work/planted_$1.c"
    ${CC:-cc} -c -o "$work/planted_$1.o" "$work/planted_$1.c"
    ar q "$work/build/$1/libbp_$1.a" "$work/planted_$1.o" 2>/dev/null
}

# one_of FLOOR - a function that FLOOR defines
one_of() {
    nm -g --defined-only "$build/$1/libbp_$1.a" | awk '$2 == "T" { print $3; exit }'
}

up_from_circuits=$(one_of sim) up_from_sim=$(one_of render) up_from_render=$(one_of cli)
twice=$(one_of circuits)
plant circuits "void $up_from_circuits(void); void a(void); void a(void) { $up_from_circuits(); }"
plant sim "void $up_from_sim(void); void b(void); void b(void) { $up_from_sim(); }
    void $twice(void); void $twice(void) {}"
plant render "void $up_from_render(void); void c(void); void c(void) { $up_from_render(); }"
echo '#include "sim/deck.h"' >>"$work/house/circuits/kinds/fuse.c"
echo '#include "circuits/circuit.h"' >>"$work/house/include/backprobe/report.h"
echo '#  include "../render/canvas.h"' >>"$work/house/sim/models/fuse.c"
echo '#include <render/canvas.h>' >>"$work/house/sim/models/relay.c"
echo 'case BP_KIND_INDEX_fuse:' >>"$work/house/sim/models/coil.c"
echo 'int x;' >"$work/house/render/symbols/gadget.c"
rm "$work/house/circuits/kinds/relay.c" "$work/house/sim/models/lamp.c" \
    "$work/house/render/symbols/motor.c"

looks "$work/build"
notices "circuits/ calls $up_from_circuits, which lives a floor above in sim/"
notices "sim/ calls $up_from_sim, which lives a floor above in render/"
notices "render/ calls $up_from_render, which lives a floor above in cli/"
notices "$twice is defined in circuits/ and in sim/"
notices "fuse.c:$(wc -l <"$work/house/circuits/kinds/fuse.c"): includes sim/deck.h, which is a floor above"
notices "report.h:$(wc -l <"$work/house/include/backprobe/report.h"): includes circuits/circuit.h, which"
notices "includes ../render/canvas.h: write the path from the top folder"
notices "sim/models/relay.c:$(wc -l <"$work/house/sim/models/relay.c"): includes render/canvas.h, which"
notices "kind relay has no circuits/kinds/relay.c"
notices "kind lamp has no sim/models/lamp.c"
notices "kind motor has no render/symbols/motor.c"
notices "render/symbols/gadget.c belongs to no kind"
notices "a switch over kinds"
said=$(grep -c . "$work/said")
[ "$said" = 13 ] || { echo "FAILED: 13 breaches were planted, $said named" && failures=1; cat "$work/said"; }

rm "$work/build-short/sim/libbp_sim.a"
looks "$work/build-short"
notices "sim/ has no"

exit $failures
