#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# check_house.sh SOURCE [BUILD] - the rules of the house, read off the sources and the built archives:
#   * an #include runs downwards only, from the top of the source tree;
#   * a call runs downwards only, and no symbol lives on two floors (needs BUILD, the CMake folder);
#   * every kind of circuits/kinds.h has its three files, and every file there is a kind;
#   * nobody switches over kinds.
# Prints one line for each breach; exit status 1 if there was one.
set -eu
source=$1
build=${2-}
floors="include circuits sim diagnose render cli" # from the ground up
breaches=$(mktemp)
symbols=$(mktemp)
trap 'rm -f "$breaches" "$symbols"' EXIT

check_includes() {
    cd "$source"
    for floor in $floors; do
        [ ! -d "$floor" ] || find "$floor" -name '*.[ch]'
    done | xargs awk -v floors="$floors" '
        BEGIN {
            n = split(floors, names, " ")
            for (i = 1; i <= n; i++) height[names[i]] = i
            height["backprobe"] = 1
        }
        !/^[ \t]*#[ \t]*include[ \t]*["<]/ { next }
        {
            quoted = /include[ \t]*"/
            target = $0
            sub(/^[^"<]*["<]/, "", target)
            sub(/[">].*$/, "", target)
            split(target, part, "/")
            split(FILENAME, own, "/")
            if (part[1] in height) {
                if (height[part[1]] > height[own[1]])
                    printf "%s:%d: includes %s, which is a floor above\n", FILENAME, FNR, target
            } else if (quoted)
                printf "%s:%d: includes %s: write the path from the top folder\n",
                    FILENAME, FNR, target
        }' >>"$breaches"
}

# Symbols as "D floor name" (defined) and "U floor name" (called), one archive a floor.
check_calls() {
    for floor in $floors; do
        archive="$build/$floor/libbp_$floor.a"
        if [ ! -f "$archive" ]; then
            [ "$floor" = include ] || [ ! -d "$source/$floor" ] ||
                echo "$floor/ has no $archive to read its calls from" >>"$breaches"
            continue
        fi
        nm -g --defined-only "$archive" | awk -v f="$floor" 'NF == 3 { print "D", f, $3 }'
        nm -g --undefined-only "$archive" | awk -v f="$floor" 'NF == 2 { print "U", f, $2 }'
    done | grep -v -E ' (__asan|__odr_asan|__gcov|__llvm)' | sort -u >"$symbols"
    awk -v floors="$floors" '
        BEGIN {
            n = split(floors, names, " ")
            for (i = 1; i <= n; i++) height[names[i]] = i
        }
        $1 == "D" && ($3 in home) {
            printf "%s is defined in %s/ and in %s/\n", $3, home[$3], $2
            next
        }
        $1 == "D" { home[$3] = $2 }
        $1 == "U" && ($3 in home) && height[home[$3]] > height[$2] {
            printf "%s/ calls %s, which lives a floor above in %s/\n", $2, $3, home[$3]
        }' "$symbols" >>"$breaches"
}

check_kinds() {
    cd "$source"
    kinds=$(sed -n 's/^ *X(\([a-z_0-9]*\)).*$/\1/p' circuits/kinds.h | tr '\n' ' ')
    [ -n "$kinds" ] || echo "circuits/kinds.h lists no kinds" >>"$breaches"
    for folder in circuits/kinds sim/models render/symbols; do
        for kind in $kinds; do
            [ -f "$folder/$kind.c" ] || echo "kind $kind has no $folder/$kind.c"
        done
        for file in "$folder"/*.c; do
            kind=${file##*/}
            case " $kinds" in
            *" ${kind%.c} "*) ;;
            *) [ ! -f "$file" ] || echo "$file belongs to no kind of circuits/kinds.h" ;;
            esac
        done
    done >>"$breaches"
    grep -rn --include='*.[ch]' 'case *BP_KIND_INDEX_' circuits sim render cli |
        sed 's/$/ (a switch over kinds)/' >>"$breaches" || true
}

(check_includes)
[ -z "$build" ] || (check_calls)
(check_kinds)
cat "$breaches"
[ ! -s "$breaches" ]
