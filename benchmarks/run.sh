#!/usr/bin/env bash
# Builds and runs one benchmark: CSV on stdout, everything else on stderr.
#
#   benchmarks/run.sh NAME [--keep] [ARGUMENTS OF THE BENCHMARK]
#
# --keep also writes benchmarks/results/NAME-DATE-COMMIT.csv, with machine and commit in its head.
# Threads are pinned and sized by the benchmark itself; leave the machine otherwise idle.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
cd "$here/.."

build=${HOLDGROUND_BUILD:-build/release}

fail() {
  echo "run.sh: error: $*" >&2
  exit 1
}

known=$(find benchmarks -maxdepth 1 -name '*.cpp' -printf '%f\n' | sed 's/\.cpp$//' | sort | xargs)
name=${1:-}
[[ -n "$name" ]] || fail "name a benchmark: $known"
[[ -f "benchmarks/$name.cpp" ]] || fail "unknown benchmark '$name'; there are: $known"
shift

keep=no
arguments=()
for argument in "$@"; do
  if [[ "$argument" == --keep ]]; then keep=yes; else arguments+=("$argument"); fi
done

{
  scenarios/install.sh build
  settings=()
  [[ -f "$build/CMakeCache.txt" ]] || settings=(-DHOLDGROUND_TESTS=OFF -DHOLDGROUND_VIEW=OFF)
  cmake --preset release -B "$build" "${settings[@]}"
  cmake --build "$build" --target "bench_$name"
} >&2

commit=$(git rev-parse --short=10 HEAD 2>/dev/null || echo unknown)
if [[ -n "$(git status --porcelain --untracked-files=no 2>/dev/null)" ]]; then
  commit+="-modified"
fi
cpu=$(sed -n 's/^model name[[:space:]]*: //p' /proc/cpuinfo | head -n 1)
head="# benchmark: $name ${arguments[*]}
# machine: ${cpu:-unknown}, $(nproc) cores, load $(cut -d' ' -f1 /proc/loadavg) before the start
# compiler: $(c++ --version | head -n 1), build type $(sed -n 's/^CMAKE_BUILD_TYPE:[A-Z]*=//p' "$build/CMakeCache.txt")
# commit: $commit, $(date -u +%Y-%m-%d)"
echo "$head" >&2

export OMP_PROC_BIND=close OMP_PLACES=cores OMP_DYNAMIC=false
export HOLDGROUND_CACHE=$build/benchmark-beds
if [[ $keep == no ]]; then
  exec "$build/bench_$name" "${arguments[@]}"
fi
mkdir -p benchmarks/results
kept="benchmarks/results/$name-$(date -u +%Y%m%d)-$commit.csv"
rows=$(mktemp)
trap 'rm -f "$rows"' EXIT
"$build/bench_$name" "${arguments[@]}" | tee "$rows"
{
  echo "$head"
  cat "$rows"
} >"$kept"
echo "kept in $kept" >&2
