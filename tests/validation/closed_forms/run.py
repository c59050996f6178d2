#!/usr/bin/env python3
"""Bodies whose resistance soil mechanics gives in closed form, many grains wide: vane, footings, a wall.

usage: tests/validation/closed_forms/run.py PROGRAM [--seeds N] [--only CASE ...]

Prints CSV, a row a run; one thread each.
`vane-6`, `vane-9`, `vane-12`: in soft mud, 264 mm wide, 528 mm high, its middle 0.6 m deep, so many mean diameters
wide, turned by three quarters at 2.66 rad/s: su at the peak and over the last eighth of a turn [kPa], ASTM D2573's
cylinder pi D^2 (H/2 + D/6) taken at the blades' tips.
`strip`, `circle`: in soft mud of 44 mm, 0.528 m wide, smooth, pushed from the surface to a depth of 0.3 widths at
0.352 m/s: mean pressure between 0.1 and 0.2 and between 0.2 and 0.3 widths [kPa].
`passive`, `active`: in loose sand of 44 mm, a smooth wall through the sides of the tile, 0.6 m high from the surface
down, led 0.12 m toward the sand or away from it at 0.05 m/s: thrust over gamma' H^2 / 2 at rest and after so many
millimetres, means over 20 mm. `short-passive`: the same with a wall 0.4 m high and 0.4 m long, `long-passive`
one of 0.4 m through the sides. Behind the wall stands a block that keeps the ground there away from it.
"""
import argparse
import csv
import json
import math
import pathlib
import subprocess
import sys
import tempfile

BEDS = pathlib.Path(__file__).resolve().parents[3] / "scenarios" / "beds"
CASES = ("vane-6", "vane-9", "vane-12", "strip", "circle", "passive", "active", "long-passive", "short-passive")
VANE, SPIN = 0.264, 2.66
FOOTING = 0.528
GRAIN = 0.044


def bed_file(folder, bed, size, length, width, depth):
    """The shipped recipe with grains of another size in another tile."""
    changed = {"smallest_diameter": f"{930 * size:.2f} mm", "largest_diameter": f"{1070 * size:.2f} mm",
               "length": f"{length} m", "width": f"{width} m", "depth": f"{depth} m"}
    lines = []
    for line in (BEDS / f"{bed}.toml").read_text().splitlines():
        key = line.split("=")[0].strip()
        if key != "frozen_thickness":
            lines.append(f'{key} = "{changed[key]}"' if key in changed else line)
        if line.strip() == "[tile]":
            lines.append(f'frozen_thickness = "{1000 * size:.1f} mm"')
    (folder / "bed.toml").write_text("\n".join(lines) + "\n")


def body(name, shape, position, **sizes):
    text = [f'[[body]]\nname = "{name}"\nshape = "{shape}"\nfriction = 0\nrolling_friction = 0\nadhesion = "0 Pa"',
            "position = [" + ", ".join(f'"{x} m"' for x in position) + "]"]
    text += [f'{key} = "{value} deg"' if key in ("roll", "pitch") else f'{key} = "{value} m"'
             for key, value in sizes.items()]
    return "\n".join(text)


def rows_of(program, folder, name, bodies, phases, interval, seed):
    text = [f'name = "{name}"\nbed = "bed.toml"\nseries_interval = "{interval:.6g} s"', *bodies, *phases]
    (folder / "probe.toml").write_text("\n\n".join(text) + "\n")
    done = subprocess.run([program, "probe", folder / "probe.toml", "-o", folder / "out", "--seed", str(seed),
                           "--threads", "1"], capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stderr.strip().splitlines()[-1].replace(",", ";"))
    with open(folder / "out" / "probe.csv") as file:
        return [{key.split(" [")[0]: float(value) for key, value in row.items() if key != "phase"}
                for row in csv.DictReader(file)]


def bed_figures(program, folder, seed):
    shown = subprocess.run([program, "bed", folder / "bed.toml", "--seed", str(seed), "--json", "--threads", "1"],
                           capture_output=True, text=True, check=True)
    return json.loads(shown.stdout)


REST = '[[phase]]\nname = "rest"\nduration = "0.3 s"'


def way(duration, moved, **motions):
    moves = "\n".join(f'{key} = "{value}"' for key, value in motions.items())
    return f'[[phase]]\nname = "way"\nduration = "{duration:.6g} s"\n[[phase.move]]\nbody = "{moved}"\n{moves}'


def mean(values):
    return sum(values) / len(values)


def vane(program, folder, grains_wide, seed):
    bed_file(folder, "soft-mud", VANE / grains_wide, 1.0, 1.0, 1.1)
    bodies = [body("vane", "vane", (0, 0, -0.6), diameter=VANE, height=2 * VANE,
                   thickness=VANE / grains_wide / 4)]
    turn = 2 * math.pi / SPIN
    rows = rows_of(program, folder, "vane", bodies, [REST, way(0.75 * turn, "vane", spin_z=f"{SPIN} rad/s")],
                   turn / 180, seed)
    lever = math.pi * VANE ** 2 * (VANE + VANE / 6)
    torques = [abs(row["vane.torque_z"]) / lever / 1000 for row in rows]
    smooth = [mean(torques[k:k + 5]) for k in range(len(torques) - 4)]
    return {"su_peak_kPa": max(smooth), "su_late_kPa": mean(torques[-22:])}


def footing(program, folder, round_one, seed):
    bed_file(folder, "soft-mud", GRAIN, 2.2, 2.2 if round_one else 6 * GRAIN, 1.3)
    height, gap = 0.4, 0.011
    middle = (0, 0, height / 2 + gap)
    across = 6 * GRAIN
    if round_one:
        bodies = [body("footing", "bar", middle, diameter=FOOTING, length=height, roll=90)]
        area = math.pi / 4 * FOOTING ** 2
    else:
        bodies = [body("footing", "plate", middle, length=FOOTING, width=across + 2 * GRAIN, thickness=height)]
        area = FOOTING * across
    speed = 0.352
    rows = rows_of(program, folder, "footing", bodies,
                   [way((0.3 * FOOTING + gap) / speed + 0.025, "footing", velocity_z=f"-{speed} m/s")], 0.005, seed)
    result = {}
    for low, high in ((0.1, 0.2), (0.2, 0.3)):
        at = [row["footing.force_z"] / area / 1000 for row in rows
              if low < (height / 2 - row["footing.position_z"]) / FOOTING <= high]
        result[f"q_{low}_to_{high}_kPa"] = mean(at)
    return result


def wall(program, folder, case, seed):
    height = 0.6 if case in ("passive", "active") else 0.4
    length = 0.4 if case == "short-passive" else None
    across = 1.8 if length else 6 * GRAIN
    bed_file(folder, "loose-sand", GRAIN, 3.0, across, 1.2)
    speed, thick = 0.05, 0.2
    toward = -1 if case == "active" else 1
    stands = 0.3  # over the surface: what piles up before the wall does not fall over it
    wide = length or across + 2 * GRAIN
    z = (stands - height) / 2
    front = -0.06 if case == "active" else 0.04  # of the block: within the wall, from the first to the last
    bodies = [body("wall", "plate", (0, 0, z), length=thick, width=wide, thickness=height + stands),
              body("block", "plate", (front - 0.2, 0, z), length=0.4, width=wide, thickness=height + stands)]
    rows = rows_of(program, folder, case, bodies, [REST, way(0.12 / speed, "wall", velocity_x=f"{toward * speed} m/s")],
                   0.005 / speed, seed)
    figures = bed_figures(program, folder, seed)
    weight = figures["submerged_unit_weight_N_per_m3"]
    unit = 0.5 * weight * height ** 2 * (length or across)
    thrusts = [-row["wall.force_x"] / unit for row in rows if row["time"] > 0.3]
    at_rest = mean([-row["wall.force_x"] / unit for row in rows if 0.1 < row["time"] <= 0.3])
    by_way = {f"{way}_mm": mean(thrusts[way // 5 - 2:way // 5 + 2]) for way in (15, 30, 60, 110)}
    return {"at_rest": at_rest, **by_way}


def run(program, case, seed):
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        if case.startswith("vane"):
            return vane(program, folder, int(case.split("-")[1]), seed)
        if case in ("strip", "circle"):
            return footing(program, folder, case == "circle", seed)
        return wall(program, folder, case, seed)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--only", nargs="+", choices=CASES, default=CASES)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    print("case", "seed", "figures", sep=",")
    for case in options.only:
        for seed in range(1, options.seeds + 1):
            try:
                found = ",".join(f"{key},{value:.4g}" for key, value in run(program, case, seed).items())
            except RuntimeError as fault:
                found = f"failed,{fault}"
            print(case, seed, found, sep=",", flush=True)


if __name__ == "__main__":
    main()
