#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# test_cases.sh [--rewrite] [NAME...] - runs the cases of the command line and compares with what is expected.
#
# A case is a folder cases/NAME with
#   cmd            a shell script; 'backprobe' is the program under test, $FIXTURES the folder of the input files
#   expected-out   what comes on stdout; expected-err: on stderr; a file that is missing means nothing
#   status         the exit status; a file that is missing means 0
#   needs          a shell script that fails where the case cannot be tried; it is then skipped, and says so
# In the expected files [...] stands for any text within a line, and a line that is only ... for any number of lines.
# Each case runs in an empty folder with an empty home. --rewrite writes what came over what was expected where they
# differ (placeholders are lost there): look at every change before it is committed.
set -eu
program=${BACKPROBE:?BACKPROBE is the program under test}
here=$(cd "$(dirname "$0")" && pwd)
FIXTURES=$here/fixtures
BACKPROBE_LIBRARY=${BACKPROBE_LIBRARY:-$here/../../circuits/library}
export FIXTURES BACKPROBE_LIBRARY LC_ALL=C.UTF-8
work=$(mktemp -d)
unset TERM COLUMNS POSIXLY_CORRECT TMPDIR
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$program" "$work/bin/backprobe"
failures=0
rewrite=
[ "${1-}" != --rewrite ] || { rewrite=yes && shift; }

# Compares $2 (what came) with $1 (what is expected, with placeholders). Rows of `may` are the places in the expected
# text that can have been reached so far.
same() {
    awk -v expected="$1" '
        function fits(pattern, text,    n, parts, i, at, rest) {
            n = split(pattern, parts, /\[\.\.\.\]/)
            if (n == 1) return pattern == text
            if (substr(text, 1, length(parts[1])) != parts[1]) return 0
            rest = substr(text, length(parts[1]) + 1)
            for (i = 2; i < n; i++) {
                at = index(rest, parts[i])
                if (parts[i] != "" && !at) return 0
                rest = parts[i] == "" ? rest : substr(rest, at + length(parts[i]))
            }
            at = length(rest) - length(parts[n])
            return at >= 0 && substr(rest, at + 1) == parts[n]
        }
        function skip(place) {
            while (place <= lines && want[place] == "...") may[++place] = 1
        }
        BEGIN {
            while ((getline line < expected) > 0) want[++lines] = line
            may[1] = 1
            skip(1)
        }
        {
            for (i = lines + 1; i >= 1; i--) {
                next_one[i + 1] = next_one[i + 1] || (may[i] && i <= lines && want[i] != "..." && fits(want[i], $0))
                stay[i] = may[i] && i <= lines && want[i] == "..."
            }
            for (i = 1; i <= lines + 1; i++) {
                may[i] = next_one[i] || stay[i]
                next_one[i] = 0
            }
            next_one[lines + 2] = 0
            for (i = 1; i <= lines; i++) if (may[i]) skip(i)
        }
        END { exit may[lines + 1] ? 0 : 1 }' "$2"
}

# check CASE WHAT CAME - compares one output of a case, or rewrites what was expected.
check() {
    expected=$1/$2
    [ -f "$expected" ] || expected=/dev/null
    if same "$expected" "$3"; then
        return 0
    elif [ -n "$rewrite" ]; then
        echo "rewritten: $1/$2"
        if [ -s "$3" ]; then cp "$3" "$1/$2"; else rm -f "$1/$2"; fi
    else
        echo "FAILED: $(basename "$1"), $2 differs:"
        diff -u "$expected" "$3" | tail -n +3 || true
        return 1
    fi
}

run_case() {
    mkdir "$work/place" "$work/home"
    status=0
    (cd "$work/place" && env -u XDG_DATA_HOME HOME="$work/home" NO_COLOR=1 PATH="$work/bin:$PATH" sh "$1/cmd") \
        >"$work/out" 2>"$work/err" </dev/null || status=$?
    : >"$work/status"
    [ $status = 0 ] || echo $status >"$work/status"
    good=yes
    check "$1" expected-out "$work/out" || good=
    check "$1" expected-err "$work/err" || good=
    check "$1" status "$work/status" || good=
    rm -rf "$work/place" "$work/home"
    [ -n "$good" ]
}

[ $# -gt 0 ] || set -- $(ls "$here/cases")
for name in "$@"; do
    if [ ! -f "$here/cases/$name/cmd" ]; then
        echo "FAILED: there is no case $name" && failures=$((failures + 1))
    elif [ -f "$here/cases/$name/needs" ] && ! sh "$here/cases/$name/needs" >"$work/needs" 2>&1; then
        echo "skipped: $name: $(head -n 1 "$work/needs")"
    elif run_case "$here/cases/$name"; then
        echo "ok: $name"
    else
        failures=$((failures + 1))
    fi
done
echo "$# cases, $failures failed"
[ $failures = 0 ]
