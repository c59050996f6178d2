#!/usr/bin/env python3
"""What setting a grain's surface back from steel cures: the same steel, at the same depth, in ever finer grains.

usage: tests/validation/setback/run.py PROGRAM BED [--seeds N] [--sizes MM ...] [--only CASE ...]

BED is mud, sand, gravel or stones. Prints CSV, a row a run; one thread each. `bar` (0.264 m), `edge`,
`broadside` and `oblique` (a plate 66 mm thick, 0.462 m long, as the published factors have it) pass through
the sides of a slice of bed six grains wide, their middle 1.1 m deep, led 0.35 m at 0.2 m/s; force and lift
are means over the last 0.15 m, per metre of steel. `anchor` is the shipped scoop on a prescribed path, its
fluke level, the heel 0.25 m deep, led 0.6 m at 0.4 m/s; means over the last 0.3 m. Steel is smooth and holds
nothing: friction 0 in mud, 0.3 elsewhere. `lifted` is the same way with galvanized steel, friction and adhesion by
the bed, then 0.75 m up at 0.3 m/s; means over 0.8 s of hanging still, after 0.6 s: what it carries weighs minus the
lift. Errors are of four blocks in a row.
"""
import argparse
import json
import math
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
SCENARIOS = HERE.parents[2] / "scenarios"
BEDS = {"mud": "soft-mud", "sand": "loose-sand", "gravel": "gravel", "stones": "cobble-angular"}
BAR, THICK, CHORD, DEPTH, SPEED = 0.264, 0.066, 0.462, 1.1, 0.2
PARTS = ("fluke", "toe", "shank", "roll-bar")
WHOLE = ("anchor", "lifted")
SLICE_SIZES, ANCHOR_SIZES = (176, 88, 44, 22), (88, 66, 44)


def bed_file(folder, bed, size, setback, anchor):
    """The shipped recipe with grains of another size, in a tile for these bodies."""
    if anchor:
        tile = {"length": "1.8 m", "width": "1.7 m", "depth": "1 m"}
    else:
        tile = {"length": "2.1 m", "width": f"{6 * size} mm", "depth": "2 m"}
    tile["frozen_thickness"] = f"{size} mm"
    changed = {"smallest_diameter": f"{size * 0.93:.2f} mm", "largest_diameter": f"{size * 1.07:.2f} mm", **tile}
    lines = []
    for line in (SCENARIOS / "beds" / f"{BEDS[bed]}.toml").read_text().splitlines():
        key = line.split("=")[0].strip()
        if key in ("frozen_thickness", "steel_setback"):
            continue
        lines.append(f'{key} = "{changed[key]}"' if key in changed else line)
        if line.strip() == "[grains]":
            lines.append(f"steel_setback = {setback}")
        if line.strip() == "[tile]":
            lines.append(f'frozen_thickness = "{tile["frozen_thickness"]}"')
    (folder / "bed.toml").write_text("\n".join(lines) + "\n")


def body(name, shape, friction, **keys):
    text = [f'[[body]]\nname = "{name}"\nshape = "{shape}"\nfriction = {friction}\nrolling_friction = 0']
    if friction is None:
        text = [f'[[body]]\nname = "{name}"\nshape = "{shape}"\nfinish = "smooth galvanized"']
    else:
        text.append('adhesion = "0 Pa"')
    text += [f"{key} = {value}" for key, value in keys.items()]
    return "\n".join(text)


def probe_file(folder, case, size, friction):
    """Writes the probe; gives the names of its bodies."""
    if case in WHOLE:
        names, way, speed = PARTS, 0.6, 0.4
        bodies = [body(part, "mesh", None if case == "lifted" else friction, unit='"mm"',
                       mesh=f'"{SCENARIOS}/anchors/scoop-20kg/{part}.stl"',
                       position='["-0.4 m", "0 m", "-0.25 m"]') for part in PARTS]
    else:
        names, way, speed = ("steel",), 0.35, SPEED
        place = {"position": f'["-0.2 m", "0 m", "-{DEPTH} m"]'}
        across = f'"{8 * size} mm"'
        if case == "bar":
            bodies = [body("steel", "bar", friction, length=across, diameter=f'"{BAR} m"', **place)]
        else:
            pitch = {"edge": 0, "oblique": 45, "broadside": 90}[case]
            bodies = [body("steel", "plate", friction, length=f'"{CHORD} m"', width=across,
                           thickness=f'"{THICK} m"', pitch=f'"{pitch} deg"', **place)]
    def moves(x, z):
        return "\n".join(f'[[phase.move]]\nbody = "{name}"\nvelocity_x = "{x} m/s"\nvelocity_z = "{z} m/s"'
                         for name in names)

    late = 0.8 if case == "lifted" else (0.3 if case == "anchor" else 0.15) / speed
    text = [f'name = "{case}"\nbed = "bed.toml"\nseries_interval = "{late / 40:.6g} s"', *bodies,
            '[[phase]]\nname = "rest"\nduration = "0.2 s"',
            f'[[phase]]\nname = "way"\nduration = "{way / speed - (0 if case == "lifted" else late)} s"\n'
            f'{moves(speed, 0)}']
    if case == "lifted":
        text += [f'[[phase]]\nname = "up"\nduration = "2.5 s"\n{moves(0, 0.3)}',
                 f'[[phase]]\nname = "hang"\nduration = "0.6 s"\n{moves(0, 0)}']
    text += [f'[[phase]]\nname = "late-{k}"\nduration = "{late / 4} s"' for k in range(4)]
    (folder / "probe.toml").write_text("\n\n".join(text) + "\n")
    return names


def estimate(summary, names, component, unit):
    """Mean over the last four phases and its standard error."""
    means = [sum(phase["bodies"][name][component]["mean"] for name in names) / unit
             for phase in summary["phases"][-4:]]
    mean = sum(means) / 4
    return mean, math.sqrt(sum((m - mean) ** 2 for m in means) / 12)


def run(program, case, bed, size, setback, seed):
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        bed_file(folder, bed, size, setback, case in WHOLE)
        names = probe_file(folder, case, size, 0 if bed == "mud" else 0.3)
        done = subprocess.run([program, "probe", folder / "probe.toml", "-o", folder / "out", "--seed", str(seed),
                               "--threads", "1"], capture_output=True, text=True)
        if done.returncode:
            return ["failed: " + done.stderr.strip().splitlines()[-1].replace(",", ";")]
        summary = json.loads((folder / "out" / "summary.json").read_text())
    unit = 1.0 if case in WHOLE else 6e-3 * size
    drag, lift = (estimate(summary, names, component, unit) for component in ("force_x", "force_z"))
    return [f"{x:.4g}" for x in (-drag[0], drag[1], *lift)]


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("bed", choices=BEDS)
    parser.add_argument("--seeds", type=int, default=1)
    parser.add_argument("--sizes", type=int, nargs="+")
    parser.add_argument("--setbacks", type=float, nargs="+", default=[0, 0.3])
    parser.add_argument("--only", nargs="+", default=["bar", "edge", "broadside", "oblique", "anchor"],
                        help="of these, and lifted")
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    print("bed", "case", "grain_mm", "setback", "seed", "drag", "drag_error", "lift", "lift_error", sep=",")
    for size in sorted({*SLICE_SIZES, *ANCHOR_SIZES}, reverse=True):
        if options.sizes and size not in options.sizes:
            continue
        for case in options.only:
            if size not in (ANCHOR_SIZES if case in WHOLE else SLICE_SIZES):
                continue
            for setback in options.setbacks:
                for seed in range(1, options.seeds + 1):
                    print(options.bed, case, size, setback, seed,
                          *run(program, case, options.bed, size, setback, seed), sep=",", flush=True)


if __name__ == "__main__":
    main()
