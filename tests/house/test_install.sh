#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The program finds its circuits: as built, as installed, after the installed tree was moved, and where the
# environment says. The installed library serves a program of somebody else's.
set -eu
build=${BACKPROBE_BUILD:?}
source=${BACKPROBE_SOURCE:?}
unset BACKPROBE_LIBRARY
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export XDG_DATA_HOME="$work/data"
failures=0

# lists ID PROGRAM WORDS - PROGRAM, run from the root folder, lists circuit ID
lists() {
    if (cd / && "$2" circuits) >"$work/out" 2>"$work/err" && grep -q "$1" "$work/out"; then
        echo "ok: $3"
    else
        echo "FAILED: $3: $1 is not listed"
        cat "$work/out" "$work/err"
        failures=1
    fi
}

# own ID FOLDER - a circuit that exists nowhere else
own() {
    mkdir -p "$2"
    sed "s/^id: .*/id: $1/" "$source/circuits/library/fuel-pump.yaml" >"$2/$1.yaml"
}

lists fuel-pump "$build/backprobe" "as built, from another folder"

cmake --install "$build" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/moved"
data=$(dirname "$(find "$work/moved" -name fuel-pump.yaml)")
own only-installed "$data"
lists only-installed "$work/moved/bin/backprobe" "as installed, after the tree was moved"

own only-mine "$XDG_DATA_HOME/backprobe/circuits"
lists only-mine "$build/backprobe" "the user's own circuits, in the XDG data folder"

own only-there "$work/there"
export BACKPROBE_LIBRARY="$work/there"
lists only-there "$build/backprobe" "the folder that BACKPROBE_LIBRARY names"
unset BACKPROBE_LIBRARY

cat >"$work/other.c" <<'END'
#include <stdio.h>
#include <backprobe/load.h>
#include <backprobe/predict.h>
int main(int n, char **argument)
{
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    if (n != 2 || bp_load(argument[1], &circuit, report) != BP_OK)
        return 1;
    bp_lab *lab = bp_lab_new(circuit, 1, report);
    bp_question question = BP_QUESTION_INIT;
    bp_answer *answer = bp_lab_ask(lab, &question, report);
    if (answer != NULL)
        printf("reads %s\n", answer->states[0].readings[0].display);
    bp_answer_free(&answer);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return 0;
}
END
libraries=$(dirname "$(find "$work/moved" -name libbackprobe.so)")
export PKG_CONFIG_PATH="$libraries/pkgconfig"
# shellcheck disable=SC2046
if ${CC:-cc} -std=c17 ${TEST_CFLAGS-} -o "$work/other" "$work/other.c" \
    $(pkg-config --cflags --libs backprobe) -Wl,-rpath-link,"$libraries" &&
    LD_LIBRARY_PATH="$libraries" "$work/other" "$data/fuel-pump.yaml" | grep -q 'reads .* V$'; then
    echo "ok: another program built with pkg-config reads a voltage"
else
    echo "FAILED: another program cannot be built against the installed library, or reads nothing"
    failures=1
fi
exit $failures
