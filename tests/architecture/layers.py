"""Who may include whom: the one table of include direction.

A key names a folder, or a file prefix inside one; the longest key that matches a file is its layer.
A layer may always include itself. DEVELOPERS.md draws the same picture.
"""

# What everything in the solver above the state may build on.
_BASE = ["solver/core", "solver/geometry", "solver/material", "solver/record/format", "solver/state"]

# Siblings: they meet in state and never include each other.
_PARTS = ["solver/contact", "solver/motion", "solver/anchor", "solver/rode"]

# Whole grain kernels: they may use the laws, and meet the rest of the step in state.
_KERNELS = ["solver/kernel_reference", "solver/kernel_fast"]

LAYERS = {
    "solver/core": [],
    "solver/geometry": ["solver/core"],
    "solver/material": ["solver/core"],
    "solver/record/format": ["solver/core", "solver/geometry", "solver/material"],
    "solver/state": ["solver/core", "solver/geometry", "solver/material"],
    **{part: _BASE for part in _PARTS},
    **{kernel: _BASE + ["solver/contact", "solver/motion"] for kernel in _KERNELS},
    "solver/bed": _BASE + _PARTS + _KERNELS,
    "solver/simulation": _BASE + _PARTS + _KERNELS,
    "solver/probe": _BASE + _PARTS + _KERNELS,
    "solver/record": _BASE + _PARTS + _KERNELS + ["solver/bed", "solver/simulation"],
    "scenarios": ["solver", "postprocess"],
    # The mesh is part of the record's form.
    "postprocess": ["solver/core", "solver/record/format", "solver/geometry/triangle_mesh.hpp"],
    "postprocess/view": ["solver/core", "solver/record/format", "solver/geometry/triangle_mesh.hpp",
                         "postprocess"],
    "benchmarks": ["solver", "scenarios", "postprocess"],
    "tests": ["solver", "scenarios", "postprocess"],
}

# Libraries that stay in one place: (pattern of the included name, where it may appear, its name).
LIBRARIES = [
    (r"vtk\w*\.h$", ["postprocess/view"], "VTK"),
    (r"(hdf5\w*|H5\w*)\.h(pp)?$", ["solver/record", "postprocess/read", "tests"], "HDF5"),
    (r"toml(\+\+|plusplus)?/", ["scenarios"], "toml++"),
    (r"CLI/", ["scenarios", "postprocess/view"], "CLI11"),
    (r"assimp/", ["solver/geometry"], "Assimp"),
    (r"(gtest|gmock)/", ["tests"], "GoogleTest"),
    (r"udunits2", ["tests"], "UDUNITS-2"),
]


# Layers that are files of one name beside others: format.hpp, format_units.hpp, ...
FILE_PREFIXES = {"solver/record/format"}


def within(path, place):
    """True when `path` lies in folder `place`, or begins with it where `place` is a file prefix."""
    return path == place or path.startswith(place + "/") or (
        place in FILE_PREFIXES and path.startswith(place))


def layer_of(path):
    """The layer a file belongs to, or None when no layer claims it."""
    claims = [layer for layer in LAYERS if within(path, layer)]
    return max(claims, key=len, default=None)


def may_include(layer, path):
    """True when a file of `layer` may include `path`."""
    if layer_of(path) == layer:
        return True
    # A permission for a folder does not open the viewing program's own headers.
    if within(path, "postprocess/view"):
        return layer == "postprocess/view"
    return any(within(path, place) for place in LAYERS[layer])


def table():
    """The table as text, for a failing test to print."""
    lines = ["allowed includes (every layer may include itself):"]
    lines += [f"  {layer:22} -> {', '.join(allowed) or '-'}" for layer, allowed in LAYERS.items()]
    return "\n".join(lines)
