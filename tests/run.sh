#!/usr/bin/env bash
# Installs what is missing, builds with warnings as errors, runs all tests but the slow ones.
#
#   tests/run.sh [CTEST ARGUMENTS]     for example: tests/run.sh -R Attitude
#                                                    tests/run.sh -L unit
#
# HOLDGROUND_BUILD names another build folder; HOLDGROUND_JOBS the number of tests at a time.
set -euo pipefail
cd "$(dirname "$0")/.."

build=${HOLDGROUND_BUILD:-build/release}
jobs=${HOLDGROUND_JOBS:-2}

stage() { echo "== $* [$((SECONDS / 60)) min $((SECONDS % 60)) s]"; }

stage "packages"
scenarios/install.sh build view tests

stage "build in $build"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
if ! cmake --preset release -B "$build" -DHOLDGROUND_TESTS=ON -DHOLDGROUND_WERROR=ON >"$log" 2>&1; then
  cat "$log" >&2
  echo "run.sh: error: CMake could not configure; its output is above" >&2
  exit 1
fi
cmake --build "$build"

# A test runs on one thread unless it asks for more itself, so that two tests fill two cores.
export OMP_NUM_THREADS=1 OMP_DYNAMIC=false OMP_WAIT_POLICY=passive
stage "tests"
status=0
ctest --test-dir "$build" -LE slow --output-on-failure --no-tests=error -j "$jobs" "$@" || status=$?
stage "finished with status $status"
exit "$status"
