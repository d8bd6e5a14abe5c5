#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Builds and runs every test; installs what that needs. See --help. Safe to run again.
set -eu
cd "$(dirname "$0")/.."
. tests/packages.sh

usage() {
    cat <<'END'
Usage: tests/run.sh [--preset NAME] [--only PATTERN] [--list]

  --preset NAME    release (default), debug, sanitize or coverage; see CMakePresets.json
  --only PATTERN   only the tests whose name matches, as in: --only circuits/  --only cli/  --only proof
  --list           names the tests without running them
END
}

preset=release
set_ctest=
pattern=.
while [ $# -gt 0 ]; do
    case $1 in
    --preset) preset=${2:?--preset needs a name} && shift ;;
    --only) pattern=${2:?--only needs a pattern} && shift ;;
    --list) set_ctest=-N ;;
    -h | --help) usage && exit 0 ;;
    *) echo "tests/run.sh: unknown option $1" >&2 && usage >&2 && exit 2 ;;
    esac
    shift
done

# shellcheck disable=SC2086
need_packages $packages_test
cmake --preset "$preset" -DBUILD_TESTING=ON >/dev/null
cmake --build --preset "$preset"
# shellcheck disable=SC2086
exec ctest --preset "$preset" -j "$(nproc)" -R "$pattern" --no-tests=error $set_ctest
