#!/usr/bin/env python3
"""Does a free anchor in mud do what mud does: sink, dive, and hold the more, the deeper and the stiffer the mud?

usage: tests/validation/free_in_mud/run.py PROGRAM [FIRST_SEED [LAST_SEED]]

The shipped scoop, 3 m at 0.4 m/s through soft mud in lumps of 66 mm, 1.8 m deep, of half, once and twice the shipped
pull-off stress; and once more without setback from steel. Prints CSV, a row a pull: the mud's strength at 0.3 m as
the cells of the shipped recipe have it, in proportion to the pull-off stress; how deep toe and heel lie before the
pull; toe and the mean horizontal load over the half metre before 1, 2 and 3 m of drift. One thread.
"""
import csv
import json
import math
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
SCENARIOS = HERE.parents[2] / "scenarios"
STRENGTH = 2.1  # of the shipped recipe at 0.3 m [kPa]
CASES = ((10, 0.3), (20, 0.3), (40, 0.3), (20, 0.0))  # pull-off stress [kPa], setback

BED = """name = "coarse soft mud"
note = "invented; lumps of 62 to 70 mm"
kind = "soft mud"
strength = "{strength} kPa"
[grains]
smallest_diameter = "62 mm"
largest_diameter = "70 mm"
density = "1930 kg/m3"
friction = 0
rolling_friction = 0
restitution = 0.7
pull_off_stress = "{pull_off} kPa"
pull_off_range = 0.1
steel_setback = {setback}
modulus = "auto"
expected_stress = "15 kPa"
[tile]
length = "1.6 m"
width = "1.7 m"
depth = "1.8 m"
[settling]
friction = 0.1
"""
PULL = """name = "free in mud"
bed = "bed.toml"
anchor = "{scenarios}/anchors/scoop-20kg.toml"
[tiles]
along = 3
across = 1
[pull]
mode = "speed"
speed = "0.4 m/s"
distance = "3 m"
settle_time = "0.5 s"
line_length = "10 m"
line_stiffness = "20 kN/m"
[output]
frame_interval = "1 s"
"""


def pull(program, folder, pull_off, setback, seed):
    strength = STRENGTH * pull_off / 20
    (folder / "bed.toml").write_text(BED.format(strength=f"{strength:.3g}", pull_off=pull_off, setback=setback))
    (folder / "pull.toml").write_text(PULL.format(scenarios=SCENARIOS))
    out = folder / "out"
    done = subprocess.run([program, "pull", folder / "pull.toml", "-o", out, "--seed", str(seed), "--threads", "1"],
                          capture_output=True, text=True)
    if done.returncode:
        return ["failed: " + done.stderr.strip().splitlines()[-1].replace(",", ";")]
    with open(out / "series.csv") as file:
        rows = [{key.split(" [")[0]: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    before = [row for row in rows if row["time"] <= 0][-1]
    figures = [f"{strength:.3g}", f"{before['toe_embedment']:.3f}", f"{before['heel_embedment']:.3f}"]
    for drift in (1, 2, 3):
        late = [row for row in rows if row["time"] > 0 and drift - 0.5 <= row["drift"] <= drift]
        if not late:
            figures += ["", ""]
            continue
        load = sum(row["horizontal_load"] for row in late) / len(late)
        figures += [f"{late[-1]['toe_embedment']:.3f}", f"{load:.0f}"]
    measures = json.loads((out / "summary.json").read_text())["measures"]
    figures += [f"{measures[key]['value']:.3g}" for key in ("heel_embedment", "pitch", "list", "near_bottom",
                                                            "energy_residual_share")]
    figures[-4] = f"{math.degrees(float(figures[-4])):.0f}"
    figures[-3] = f"{math.degrees(float(figures[-3])):.0f}"
    return figures


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    program = str(pathlib.Path(sys.argv[1]).resolve())
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    last = int(sys.argv[3]) if len(sys.argv) > 3 else first + 1
    print("pull_off_kPa,setback,seed,strength_kPa,toe_before_m,heel_before_m,toe_1m,load_1m_N,toe_2m,load_2m_N,toe_3m,"
          "load_3m_N,heel_m,pitch_deg,list_deg,near_bottom,energy_residual_share")
    for seed in range(first, last + 1):
        for pull_off, setback in CASES:
            with tempfile.TemporaryDirectory() as folder:
                row = pull(program, pathlib.Path(folder), pull_off, setback, seed)
            print(pull_off, setback, seed, *row, sep=",", flush=True)


if __name__ == "__main__":
    main()
