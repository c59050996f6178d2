#!/usr/bin/env bash
# From a fresh clone to a first result: installs, builds, lays a bed of loose sand, drags the
# shipped anchor through it and draws the pictures, into out/quickstart.
#
# A second run reuses build and bed. The last result is replaced only when the new one is whole.
set -euo pipefail
cd "$(dirname "$0")/.."

build=build/release
result=out/quickstart
fresh=out/quickstart.unfinished
trial=scenarios/trials/quickstart.toml
bed=scenarios/beds/loose-sand.toml

stage_names=()
stage_seconds=()
run_stage() { # NAME COMMAND...
  local name=$1 start=$SECONDS
  shift
  echo "== $name" >&2
  if ! "$@"; then
    echo "quickstart.sh: error: '$name' failed; the messages above say why" >&2
    exit 1
  fi
  stage_names+=("$name")
  stage_seconds+=($((SECONDS - start)))
}

compile() {
  local log
  log=$(mktemp)
  # An existing build folder keeps its settings (the tests may be built there too).
  local settings=()
  [[ -f $build/CMakeCache.txt ]] || settings=(-DHOLDGROUND_TESTS=OFF)
  if ! cmake --preset release -B "$build" "${settings[@]}" >"$log" 2>&1; then
    cat "$log" >&2
    return 1
  fi
  rm -f "$log"
  cmake --build "$build" --target holdground holdground-view
}

run_stage "packages" scenarios/install.sh build view
run_stage "build" compile
run_stage "bed" "$build/holdground" bed "$bed"
mkdir -p out
rm -rf "$fresh"
run_stage "pull" "$build/holdground" pull "$trial" -o "$fresh"
run_stage "pictures" "$build/holdground" view "$fresh"
rm -rf "$result"
mv "$fresh" "$result"

echo
echo "Wall time of each stage:"
for i in "${!stage_names[@]}"; do
  printf '  %-10s %4d s\n' "${stage_names[i]}" "${stage_seconds[i]}"
done
echo
echo "The result is in $result:"
(cd "$result" && for file in *; do printf '  %s\n' "$file"; done)
echo
echo "Start with the picture and summary.json; README.md says how to read them."
