#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# run.sh [SECONDS] - builds the libFuzzer target of the circuit loader and feeds it damaged files for so long
# (default 60). The shipped circuits are the seeds, whole and in pieces. What it finds to be new is kept in
# build-fuzz/corpus, an input that breaks the loader in build-fuzz/crash-*.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-60}

cmake --preset fuzz >/dev/null
cmake --build --preset fuzz --target fuzz_load
corpus=build-fuzz/corpus
seeds=build-fuzz/seeds
mkdir -p $corpus $seeds
cp circuits/library/*.yaml $seeds/
# Pieces let the fuzzer reach deep states sooner than whole files of 100 lines do.
for file in circuits/library/*.yaml; do
    name=$(basename "$file" .yaml)
    for lines in 8 20 40; do
        head -n $lines "$file" >$seeds/"$name-$lines".yaml
    done
done
[ ! -d tests/circuits/bad ] || cp -R tests/circuits/bad/. $seeds/

exec build-fuzz/fuzz_load -max_total_time="$seconds" -timeout=2 -rss_limit_mb=512 -max_len=16384 \
    -artifact_prefix=build-fuzz/ -print_final_stats=1 -dict=tests/fuzz/circuit.dict $corpus $seeds
