#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# From a fresh Debian or Ubuntu machine to two printed sheets of the fuel-pump circuit: healthy, and with a
# high-resistance ground. Installs what is missing (as root or with sudo), builds build/backprobe, draws. Safe to
# run again: it builds only what changed and replaces the two sheets.
set -eu
cd "$(dirname "$0")/.."
. tests/packages.sh

circuit=fuel-pump
fault=G3:resistance=1.5ohm
out=examples/out

# shellcheck disable=SC2086
need_packages $packages_build

# A first build here is for use: no tests, and a newer compiler's new warnings do not stop it. A folder that a
# developer set up before keeps its settings.
first=
[ -f build/CMakeCache.txt ] || first="-DBUILD_TESTING=OFF -DBACKPROBE_WERROR=OFF"
# shellcheck disable=SC2086
cmake --preset release $first >/dev/null
cmake --build build --target backprobe

mkdir -p $out
for form in pdf png; do
    build/backprobe sheet $circuit -o $out/$circuit-healthy.$form
    build/backprobe sheet $circuit --fault $fault -o $out/$circuit-bad-ground.$form
done

echo
echo "The program is build/backprobe. The sheets, as PDF to print and as PNG to look at:"
ls -1 $out/$circuit-healthy* $out/$circuit-bad-ground*
