#!/bin/sh
# Does the shipped scoop stay upright? Pulls it over the first 1.1 m through loose sand of 66 mm (half
# as coarse again as the quick start's: a pull takes half a minute), on several packings.
# usage: tests/validation/list_stability/run.sh PROGRAM [FIRST_SEED [LAST_SEED [TRIAL]]]
# TRIAL: another trial file, as scenarios/trials/standard-pull-cobble.toml. Prints CSV; kept, with
# anchor and trial in front, as results.csv. One thread.
set -eu
program=$1
seed=${2:-1}
last=${3:-5}
here=$(cd "$(dirname "$0")" && pwd)
trial=${4:-$here/pull.toml}
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
echo "seed,list_deg,greatest_list_deg,pitch_deg,toe_embedment_m,holding_mean_N,peak_load_N"
while [ "$seed" -le "$last" ]; do
  "$program" pull "$trial" -o "$out/$seed" --seed "$seed" --threads 1 >/dev/null 2>&1
  python3 - "$out/$seed" "$seed" <<'PY'
import csv, json, math, sys
m = json.load(open(sys.argv[1] + "/summary.json"))["measures"]
lists = [abs(float(row["list [rad]"])) for row in csv.DictReader(open(sys.argv[1] + "/series.csv"))]
angles = [m["list"]["value"], max(lists), m["pitch"]["value"]]
figures = [m[k]["value"] for k in ("toe_embedment", "holding_mean", "peak_load")]
print(sys.argv[2], *(f"{math.degrees(a):.0f}" for a in angles), f"{figures[0]:.2f}",
      *(f"{f:.0f}" for f in figures[1:]), sep=",", flush=True)
PY
  seed=$((seed + 1))
done
