"""The rules of the source tree. Each takes a Tree and yields one line for each violation."""

import re
import shutil
import subprocess
from pathlib import Path

import layers

TOP_LEVEL = {"CMakeLists.txt", "CMakePresets.json", "README.md", "DEVELOPERS.md", "LICENSE",
             "solver", "scenarios", "postprocess", "tests", "benchmarks"}
CODE = (".cpp", ".hpp")
SIZED = (".cpp", ".hpp", ".py", ".sh", ".cmake", "CMakeLists.txt", ".ci/run")
TEXT = SIZED + (".md", ".toml", ".json", ".csv", ".txt", ".svg")
MAXIMUM_LINES = 400
MAXIMUM_STEP_LINES = 30
TEST_FOLDERS = {"unit", "verification", "validation", "determinism", "robustness", "endtoend",
                "architecture"}

INCLUDE = re.compile(r'^\s*#\s*include\s*(["<])([^">]+)[">]')


class Tree:
    """The tracked files below a root, as paths relative to it (all files where there is no git)."""

    def __init__(self, root):
        self.root = Path(root)
        listing = subprocess.run(["git", "-C", str(root), "-c", "safe.directory=*", "ls-files", "-z"],
                                 capture_output=True, text=True, check=False)
        if (self.root / ".git").exists():
            if listing.returncode != 0:
                raise SystemExit(f"git could not list the tracked files: {listing.stderr.strip()}")
            names = [name for name in listing.stdout.split("\0") if name]
        else:
            names = [str(path.relative_to(root)) for path in self.root.rglob("*") if path.is_file()]
        # A file deleted but not yet committed is still listed.
        self.files = sorted(name for name in names if (self.root / name).is_file())

    def having(self, *suffixes):
        return [name for name in self.files if name.endswith(suffixes)]

    def lines(self, name):
        return (self.root / name).read_text(encoding="utf-8", errors="replace").splitlines()

    def includes(self, name):
        """(line number, quote, included name) of each include in a file."""
        for number, line in enumerate(self.lines(name), start=1):
            if match := INCLUDE.match(line):
                yield number, match[1], match[2]


def formatting(tree):
    """Sources are as clang-format would write them."""
    program = shutil.which("clang-format")
    if program is None:
        yield "clang-format is not installed"
        return
    sources = [str(tree.root / name) for name in tree.having(*CODE)]
    if not sources:
        return
    run = subprocess.run([program, "--style=file", "--dry-run", "-Werror", *sources],
                         capture_output=True, text=True, check=False)
    seen = set()
    for line in run.stderr.splitlines():
        match = re.match(r"(.+?):(\d+):\d+: error: ", line)
        if match and match[1] not in seen:
            seen.add(match[1])
            name = Path(match[1]).relative_to(tree.root)
            yield f"{name}:{match[2]}: not formatted; run: clang-format -i {name}"
    if run.returncode != 0 and not seen:
        yield f"clang-format failed: {run.stderr.strip()[:300]}"


def include_direction(tree):
    """Includes between modules follow the table in layers.py."""
    failed = False
    for name in tree.having(*CODE):
        layer = layers.layer_of(name)
        if layer is None:
            failed = True
            yield f"{name}: lies in no known layer"
            continue
        for number, quote, included in tree.includes(name):
            if quote == '"' and not layers.may_include(layer, included):
                failed = True
                yield f"{name}:{number}: {layer} may not include {included}"
    if failed:
        yield layers.table()


def include_paths(tree):
    """Project includes are quoted full paths from the root, and name a tracked file."""
    known = set(tree.files)
    for name in tree.having(*CODE):
        for number, quote, included in tree.includes(name):
            if quote == '"' and included not in known:
                yield f'{name}:{number}: no tracked file "{included}" (full path from the root?)'
            if quote == "<" and included in known:
                yield f"{name}:{number}: project headers are quoted: {included}"


def library_boundaries(tree):
    """Each third-party library is included only where it belongs."""
    for name in tree.having(*CODE):
        for number, _, included in tree.includes(name):
            for pattern, places, library in layers.LIBRARIES:
                if re.match(pattern, included) and not any(
                        layers.within(name, place) for place in places):
                    yield f"{name}:{number}: {library} is for {', '.join(places)} only: {included}"


def own_header_first(tree):
    """x.cpp includes x.hpp before anything else, so every such header is known to stand alone."""
    known = set(tree.files)
    for name in tree.having(".cpp"):
        header = name[:-4] + ".hpp"
        first = next((included for _, _, included in tree.includes(name)), None)
        if header in known and first != header:
            yield f"{name}: the first include must be its own header {header}"


def pragma_once(tree):
    """Every header is guarded by a pragma; x_impl.hpp is source, compiled by including it."""
    for name in tree.having(".hpp"):
        if name.endswith("_impl.hpp"):
            continue
        if not any(line.strip() == "#pragma once" for line in tree.lines(name)[:5]):
            yield f"{name}: no #pragma once in the first five lines"


def file_size(tree):
    """No source file is longer than a person can hold."""
    for name in tree.having(*SIZED):
        count = len(tree.lines(name))
        if count > MAXIMUM_LINES:
            yield f"{name}: {count} lines, at most {MAXIMUM_LINES}"


def top_level(tree):
    """The top level holds the agreed files and folders, and dot files."""
    for entry in sorted({name.split("/")[0] for name in tree.files}):
        if not entry.startswith(".") and entry not in TOP_LEVEL:
            yield f"{entry}: not among {', '.join(sorted(TOP_LEVEL))}"


def machine_paths(tree):
    """No tracked text names a place on somebody's machine."""
    pattern = re.compile(r"(?<![\w.$}/-])/(?:root|home|work|tmp|mnt|Users)/")
    for name in tree.having(*TEXT):
        for number, line in enumerate(tree.lines(name), start=1):
            if pattern.search(line):
                yield f"{name}:{number}: a path of one machine: {line.strip()[:80]}"


def loose_ends(tree):
    """Nothing unfinished is left in the code."""
    pattern = re.compile(r"\b(TO" r"DO|FIX" r"ME|X" r"XX)\b")
    for name in tree.having(*SIZED):
        for number, line in enumerate(tree.lines(name), start=1):
            if pattern.search(line):
                yield f"{name}:{number}: {line.strip()[:80]}"


def unordered_sums(tree):
    """Nothing that would make the last bits depend on the number of threads."""
    pattern = re.compile(r"#\s*pragma\s+omp\b.*\b(reduction\s*\(|atomic)|std::atomic<(float|double)>")
    flags = re.compile(r"-ffast-math|-funsafe-math|-fassociative-math|-ffp-contract=fast|-Ofast")
    for name in tree.having(*CODE):
        for number, line in enumerate(tree.lines(name), start=1):
            if pattern.search(line):
                yield f"{name}:{number}: sums are in a fixed order: {line.strip()[:80]}"
    for name in tree.having("CMakeLists.txt", ".cmake", "CMakePresets.json"):
        for number, line in enumerate(tree.lines(name), start=1):
            if flags.search(line):
                yield f"{name}:{number}: changes results: {line.strip()[:80]}"


def tests_exist(tree):
    """Every solver/**/x.cpp has a test that includes x.hpp (or x's main header)."""
    named = {included for name in tree.having("_test.cpp") for _, _, included in tree.includes(name)}
    # A header that shared fixtures bring in is named by the tests that use them.
    named |= {included for name in tree.files if name.startswith("tests/support/")
              and name.endswith(CODE) for _, _, included in tree.includes(name)}
    known = set(tree.files)
    for name in tree.having(".cpp"):
        header = name[:-4] + ".hpp"
        if name.startswith("solver/") and header in known and header not in named:
            yield f"{name}: no test includes {header}"


def checked_by(tree):
    """The tests that a header names after "Checked by" are there."""
    places = {str(parent) for name in tree.files for parent in [Path(name), *Path(name).parents]}
    for name in tree.having(*CODE):
        lines = tree.lines(name)
        for number, line in enumerate(lines, start=1):
            if not re.match(r"//.*\bChecked by\b", line):
                continue
            words = line.split("Checked by", 1)[1]
            for more in lines[number:]:
                if not more.startswith("//"):
                    break
                words += " " + more
            named = [word.rstrip("./") for word in re.findall(r"tests/[\w./-]*", words)]
            if not named:
                yield f"{name}:{number}: names no test"
            for place in named:
                if place not in places:
                    yield f"{name}:{number}: names {place}, which is not there"


def tests_found(tree):
    """A test is in a file and folder where the build finds it."""
    macro = re.compile(r"^(TEST|TEST_F|TEST_P|TYPED_TEST)\(")
    for name in tree.having(".cpp"):
        if not name.startswith("tests/"):
            continue
        folder = name.split("/")[1]
        holds_test = any(macro.match(line) for line in tree.lines(name))
        if holds_test and not (name.endswith("_test.cpp") and folder in TEST_FOLDERS):
            yield f"{name}: tests are NAME_test.cpp in tests/{{{','.join(sorted(TEST_FOLDERS))}}}"


def document_paths(tree):
    """Files and folders that the documents name exist: what is kept by hand drifts."""
    named = re.compile(r"`((?:solver|scenarios|postprocess|tests|benchmarks)/[\w./-]*[\w/])`"
                       r"|\]\((?!\w+:|#)([^)#\s]+)")
    places = {str(parent) for name in tree.files for parent in [Path(name), *Path(name).parents]}
    for name in [file for file in tree.having(".md") if "/" not in file]:
        for number, line in enumerate(tree.lines(name), start=1):
            for match in named.finditer(line):
                place = (match[1] or match[2]).rstrip("/")
                if place not in places:
                    yield f"{name}:{number}: names {place}, which is not there"


def step_table(tree):
    """The step calls what section 2 of DEVELOPERS.md lists, in that order, on one page."""
    source, document = "solver/simulation/simulation.cpp", "DEVELOPERS.md"
    if source not in tree.files or document not in tree.files:
        return
    body = re.search(r"^void Simulation::advanceOneStep\(\) \{\n(.*?)^\}",
                     "\n".join(tree.lines(source)) + "\n", re.MULTILINE | re.DOTALL)
    if body is None:
        yield f"{source}: no function advanceOneStep"
        return
    if body[1].count("\n") > MAXIMUM_STEP_LINES:
        yield f"{source}: the step is longer than {MAXIMUM_STEP_LINES} lines"
    # One call a line: the first; what stands in its arguments only looks something up.
    calls = [match[1] for line in body[1].splitlines() if (match := re.search(r"(\w+)\(", line))]
    called = [name for name in calls if name not in ("start", "book")]
    section = "\n".join(tree.lines(document)).split("\n## 2.", 1)[-1].split("\n## ", 1)[0]
    listed = [name for row in re.findall(r"^\|([^|]*)\|", section, re.MULTILINE)
              for name in re.findall(r"`(\w+)`", row)]
    if called != listed:
        yield f"{source}: the step calls {called}, {document} lists {listed}"


RULES = {rule.__name__: rule for rule in (
    formatting, include_direction, include_paths, library_boundaries, own_header_first, pragma_once,
    file_size, top_level, machine_paths, loose_ends, unordered_sums, tests_exist, checked_by,
    tests_found, document_paths, step_table)}
