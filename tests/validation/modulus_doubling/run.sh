#!/bin/sh
# Does doubling the grains' modulus move the holding by less than its scatter? Pulls the shipped
# scoop through the same sand with the modulus of the rule and with twice that, several seeds each.
# usage: tests/validation/modulus_doubling/run.sh PROGRAM [FIRST_SEED [LAST_SEED]]
# Prints CSV, kept as results.csv. One thread each: run two at a time.
set -eu
program=$1
seed=${2:-1}
last=${3:-12}
here=$(cd "$(dirname "$0")" && pwd)
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
echo "modulus,seed,holding_mean_N,holding_p90_N,toe_embedment_m,list_rad,overlap_p99,energy_residual_share"
while [ "$seed" -le "$last" ]; do
  for variant in pull pull_stiff; do
    "$program" pull "$here/$variant.toml" -o "$out/$variant-$seed" --seed "$seed" --threads 1 \
      >/dev/null 2>&1
    python3 - "$out/$variant-$seed/summary.json" "$variant" "$seed" <<'PY'
import json, sys
m = json.load(open(sys.argv[1]))["measures"]
keys = ("holding_mean", "holding_p90", "toe_embedment", "list", "overlap_p99", "energy_residual_share")
name = {"pull": "rule", "pull_stiff": "twice"}[sys.argv[2]]
print(name, sys.argv[3], *(f"{m[k]['value']:.4g}" for k in keys), sep=",", flush=True)
PY
  done
  seed=$((seed + 1))
done
