#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Circuit files come from strangers. Each hostile file here is refused with exit status 2 and a line number, runs nothing, and
# stays under 2 s of processor time and 256 MB. That the bait works at all is shown first, on the simulator's own program.
set -eu
program=${BACKPROBE:?BACKPROBE is the program under test}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME="$work/home" LC_ALL=C.UTF-8
unset XDG_DATA_HOME
mkdir "$work/home" "$work/place"
cd "$work/place"
marker=$work/marker
failures=0

fail() {
    echo "FAILED: $*"
    failures=$((failures + 1))
}

# Address space that sanitizers reserve does not fit the limit: there the limit of memory is left out, and said so.
limits="ulimit -t 2; ulimit -v 262144"
(eval "$limits" && "$program" --version) >/dev/null 2>&1 || {
    echo "the program does not start in 256 MB of address space (a sanitizer's build?): only its time is limited"
    limits="ulimit -t 20"
}

# frame [KEY=TEXT...] - a good circuit with other texts in places
frame() {
    title=Bait extra='J1: {kind: splice}' label='a source' note=there value='1 kohm'
    for change in "$@"; do
        case $change in
        title=*) title=${change#*=} ;;
        extra=*) extra=${change#*=} ;;
        label=*) label=${change#*=} ;;
        note=*) note=${change#*=} ;;
        value=*) value=${change#*=} ;;
        esac
    done
    cat <<YAML
backprobe: 1
id: bait
title: $title
parts:
  V1: {kind: source, emf: 12 V, label: '$label'}
  R1: {kind: resistor, resistance: $value}
  $extra
wires:
  W1: {from: V1.+, to: R1.1}
  W2: {from: R1.2, to: J1}
  W3: {from: J1, to: V1.-}
points:
  A: {at: R1.1, note: '$note'}
YAML
}

# refused NAME - the file NAME is refused by every subcommand that reads circuits
refused() {
    for call in "predict $1" "show $1" "faults $1" "table $1" "sheet $1 -o out.pdf"; do
        status=0
        rm -f out.pdf
        # shellcheck disable=SC2086
        (eval "$limits" && exec "$program" $call) >out 2>err </dev/null || status=$?
        [ $status = 2 ] || fail "$call: exit status $status"
        [ ! -s out ] || fail "$call: something on standard output"
        grep -qE "^$1:[0-9]+:[0-9]+: mistake: " err || fail "$call: no line number: $(head -c 300 err)"
        LC_ALL=C grep -q "[$(printf '\001-\010\013-\037\177')]" err && fail "$call: control characters in the message"
        [ ! -e "$marker" ] || fail "$call: ran something"
        [ ! -e out.pdf ] || fail "$call: left a sheet"
    done
    status=0
    (eval "$limits" && exec "$program" check "$1") >out 2>err </dev/null || status=$?
    [ $status = 1 ] || fail "check $1: exit status $status"
    grep -qE "^$1:[0-9]+:[0-9]+: mistake: " out || fail "check $1: no line number: $(head -c 300 out)"
    echo "refused: $1: $(head -n 1 out | cut -c 1-150)"
}

# harmless NAME - the file is a good one whatever its texts say: predict reads 12 V at A and runs nothing
harmless() {
    status=0
    "$program" predict "$1" --csv >out 2>err </dev/null || status=$?
    [ $status = 0 ] || fail "$1: exit status $status: $(cat err)"
    grep -q 'volts,[0-9.]*,V,12.00 V,' out || fail "$1: does not read 12.00 V"
    [ ! -e "$marker" ] || fail "$1: ran something"
    "$program" sheet "$1" -o "$1.pdf" >out 2>err </dev/null || fail "sheet $1: $(cat err)"
    [ ! -e "$marker" ] || fail "sheet $1: ran something"
    echo "harmless: $1"
}

# The bait: what the simulator would run, if it got to see it.
printf 'bait\n.control\nshell touch %s\n.endc\nV1 a 0 1\n.op\n.end\n' "$marker" >bait.cir
if command -v ngspice >/dev/null; then
    ngspice -b bait.cir >/dev/null 2>&1 || true
    [ -e "$marker" ] || fail "the bait does not work: this test would prove nothing"
    rm -f "$marker"
else
    echo "ngspice's own program is not installed: that the bait works is not shown"
fi

# Texts that may be there: they must reach neither the simulator nor a shell.
frame title="'.control shell touch $marker .endc'" >control-in-title.yaml && harmless control-in-title.yaml
frame title="'\`touch $marker\`; touch $marker'" >backticks-in-title.yaml && harmless backticks-in-title.yaml
frame title='"line\n.control\nshell touch '"$marker"'\n.endc"' >newlines-in-title.yaml && harmless newlines-in-title.yaml
frame label="*# shell touch $marker" >comment-in-label.yaml && harmless comment-in-label.yaml
frame note="; shell touch $marker > $marker" >redirection-in-note.yaml && harmless redirection-in-note.yaml
frame note=".include $work/place/bait.cir" >include-in-note.yaml && harmless include-in-note.yaml
frame note="\$(touch $marker)" >dollar-in-note.yaml && harmless dollar-in-note.yaml

# Names and values that are none.
frame extra='"J1\n.control\nshell touch '"$marker"'\n.endc\n": {kind: splice}' >newlines-in-id.yaml
refused newlines-in-id.yaml
frame extra="'J1;shell touch $marker': {kind: splice}" >semicolon-in-id.yaml && refused semicolon-in-id.yaml
frame extra="'\`touch $marker\`': {kind: splice}" >backticks-in-id.yaml && refused backticks-in-id.yaml
frame value='"1k\n.control\nshell touch '"$marker"'\n.endc"' >newlines-in-value.yaml && refused newlines-in-value.yaml
frame value='"{shell touch x}"' >braces-in-value.yaml && refused braces-in-value.yaml
frame value='1e999 ohm' >huge-value.yaml && refused huge-value.yaml
frame value='nan ohm' >nan-value.yaml && refused nan-value.yaml
frame title='"\e]0;owned\a\e[31m"' >escapes-in-title.yaml && refused escapes-in-title.yaml

# Files that ask for too much.
{
    printf 'backprobe: 1\nid: aliases\na0: &a0 [x, x, x, x, x, x, x, x, x, x]\n'
    for i in 1 2 3 4 5 6 7 8 9; do
        printf 'a%d: &a%d [' $i $i
        for k in 1 2 3 4 5 6 7 8 9; do printf '*a%d, ' $((i - 1)); done
        printf '*a%d]\n' $((i - 1))
    done
} >aliases.yaml && refused aliases.yaml
printf 'backprobe: 1\nid: cycle\nparts: &p {V1: *p}\n' >cycle.yaml && refused cycle.yaml
head -c 10485760 /dev/zero | tr '\0' '[' >brackets.yaml && refused brackets.yaml
head -c 900000 /dev/zero | tr '\0' '[' >brackets-below-limit.yaml && refused brackets-below-limit.yaml
{ printf 'backprobe: 1\nid: deep\nparts: ' && head -c 200000 /dev/zero | sed 's/\x00/{a: /g'; } >deep.yaml && refused deep.yaml
{ frame && head -c 20000000 /dev/zero | tr '\0' '#'; } >long-comment.yaml && refused long-comment.yaml
{
    printf 'backprobe: 1\nid: many\nparts:\n'
    awk 'BEGIN { for (i = 0; i < 30000; i++) printf "  R%d: {kind: resistor}\n", i }'
} >many.yaml && refused many.yaml

# Bytes that are no text.
frame | sed 's/there/th\x00re/' >nul.yaml && refused nul.yaml
frame | sed 's/there/th\xffre/' >not-utf8.yaml && refused not-utf8.yaml
frame | sed 's/there/th\xc0\xafre/' >overlong.yaml && refused overlong.yaml
frame | sed 's/there/th\xed\xa0\x80re/' >surrogate.yaml && refused surrogate.yaml
frame | iconv -f UTF-8 -t UTF-16 >utf16.yaml && refused utf16.yaml
head -c 100000 /dev/urandom >noise.yaml && refused noise.yaml
: >empty.yaml && refused empty.yaml

echo "$failures failed"
[ $failures = 0 ]
