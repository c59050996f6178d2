#!/usr/bin/env python3
"""How far a holding can be trusted: the same pull with one thing of the model changed at a time.

usage: tests/validation/trust/run.py PROGRAM BED [FIRST_SEED [LAST_SEED]] [--only NAME ...]

BED is sand or mud. Prints CSV, a row a pull; one thread each, so run two at a time on two cores.
Rows whose name is `same` differ by the seed alone; `bit` by a millionth of a newton a metre in the line,
the same ground; `place` by where on the same ground the anchor is set. Both are made for the first seed.
`load_10cm` and `load_20cm` are the mean horizontal load while the toe lies 5 to 15 and 15 to 25 cm deep: what
holds at equal depth, where the other columns are at equal drift.
"""
import csv
import json
import pathlib
import re
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
ANCHORS = HERE.parents[2] / "scenarios" / "anchors"
MEASURES = ("holding_mean", "holding_p90", "peak_load", "toe_embedment", "heel_embedment", "list",
            "overlap_p99", "energy_residual_share")

# name, value, what is replaced in the trial, what in the bed, whether for the first seed alone
SIZES = {"44": ("41", "47"), "55": ("52", "58"), "66": ("62", "70"), "88": ("83", "93")}


def sizes(name):
    small, large = SIZES[name]
    return {"smallest_diameter": f'"{small} mm"', "largest_diameter": f'"{large} mm"'}


def cases(modulus):
    yield "same", "", {}, {}, False
    for k in range(1, 5):
        yield "bit", k, {"line_stiffness": f'"{20000 + k * 1e-6:.6f} N/m"'}, {}, True
    for k, (x, y) in enumerate(((0.4, 0.0), (0.8, 0.4), (1.2, 0.8), (0.2, 1.2)), 1):
        yield "place", k, {"place_x": f'"{x} m"', "place_y": f'"{y} m"'}, {}, True
    for speed in (0.2, 0.8, 1.6):
        yield "speed", speed, {"speed": f'"{speed} m/s"'}, {}, False
    for factor in (2, 4):
        yield "stiffness", factor, {}, {"modulus": f'"{factor * modulus:.6g} Pa"'}, False
    yield "time step", 0.1, {"time_step": "0.1"}, {}, False
    for size in ("88", "55", "44"):
        yield "grains", size, {}, sizes(size), False
    for size in ("88", "66", "55"):
        yield "no setback", size, {}, {"steel_setback": "0", **sizes(size)}, False


def replaced(text, changes):
    for key, value in changes.items():
        text, count = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", text)
        if count != 1:
            sys.exit(f"run.py: {key} stands {count} times in the file")
    return text


def load_at(rows, toe):
    """Mean horizontal load [N] while the toe is within 5 cm of a depth [m]; none if it never was."""
    loads = [row["horizontal_load"] for row in rows
             if row["time"] > 0 and abs(row["toe_embedment"] - toe) < 0.05]
    return f"{sum(loads) / len(loads):.4g}" if loads else ""


def pull(program, folder, trial, bed, seed):
    """The summary and the rows of the series, or nothing when the program failed."""
    (folder / "bed.toml").write_text(bed)
    text = trial.replace("BED.toml", "bed.toml").replace("../../../scenarios/anchors", str(ANCHORS))
    (folder / "pull.toml").write_text(text)
    out = folder / "out"
    subprocess.run(["rm", "-rf", out], check=True)
    done = subprocess.run([program, "pull", folder / "pull.toml", "-o", out, "--seed", str(seed),
                           "--threads", "1"], capture_output=True, text=True)
    if done.returncode:
        return None
    with open(out / "series.csv") as file:
        rows = [{key.split(" [")[0]: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    return json.loads((out / "summary.json").read_text()), rows


def main():
    arguments = sys.argv[1:]
    only = None
    if "--only" in arguments:
        at = arguments.index("--only")
        only, arguments = arguments[at + 1:], arguments[:at]
    if len(arguments) < 2:
        sys.exit(__doc__)
    program = str(pathlib.Path(arguments[0]).resolve())
    first = int(arguments[2]) if len(arguments) > 2 else 1
    last = int(arguments[3]) if len(arguments) > 3 else first + 2
    trial, bed = (HERE / "pull.toml").read_text(), (HERE / f"{arguments[1]}.toml").read_text()
    shown = subprocess.run([program, "bed", HERE / f"{arguments[1]}.toml", "--json"],
                           capture_output=True, text=True, check=True)
    modulus = json.loads(shown.stdout)["young_modulus_Pa"]
    print("bed", "changed", "value", "seed", *MEASURES, "load_10cm", "load_20cm", "seconds", sep=",")
    for name, value, in_trial, in_bed, once in cases(modulus):
        if only and name not in only:
            continue
        for seed in range(first, (first if once else last) + 1):
            with tempfile.TemporaryDirectory() as folder:
                result = pull(program, pathlib.Path(folder), replaced(trial, in_trial),
                               replaced(bed, in_bed), seed)
            row = [arguments[1], name, value, seed]
            if result is None:
                row += ["failed"]
            else:
                summary, rows = result
                row += [f"{summary['measures'][key]['value']:.4g}" for key in MEASURES]
                row += [load_at(rows, 0.1), load_at(rows, 0.2)]
                row += [f"{summary['measures']['wall_time']['value']:.0f}"]
            print(*row, sep=",", flush=True)


if __name__ == "__main__":
    main()
