#!/usr/bin/env python3
"""Plants one violation of each rule in a small tree and sees it caught; a clean tree passes."""

import sys
import tempfile
import unittest
from pathlib import Path

import layers
import rules

CLEAN = {
    ".clang-format": "BasedOnStyle: Google\nColumnLimit: 100\n",
    "README.md": "text\n",
    "solver/core/types.hpp": "#pragma once\n// Checked by: tests/unit/, tests/unit/types_test.cpp.\n",
    "solver/core/types.cpp": '#include "solver/core/types.hpp"\n\n#include <cstdio>\n',
    "solver/record/format.hpp": '#pragma once\n#include "solver/core/types.hpp"\n',
    "solver/bed/recipe.hpp": '#pragma once\n#include "solver/record/format.hpp"\n',
    "tests/unit/types_test.cpp": '#include "solver/core/types.hpp"\n\nTEST(Types, AreThere) {}\n',
}

STEP = "void Simulation::advanceOneStep() {{\n  {}\n}}\n"

# rule: (file, its text), each a violation on top of the clean tree.
PLANTED = {
    "formatting": [("solver/core/a.hpp", "#pragma once\nint   x ;\n")],
    "include_direction": [
        ("solver/core/a.hpp", '#pragma once\n#include "solver/state/b.hpp"\n'),
        ("solver/contact/a.hpp", '#pragma once\n#include "solver/rode/b.hpp"\n'),
        ("solver/state/a.hpp", '#pragma once\n#include "solver/record/writer.hpp"\n'),
        ("solver/simulation/a.hpp", '#pragma once\n#include "solver/record/writer.hpp"\n'),
        ("solver/bed/a.hpp", '#pragma once\n#include "scenarios/schema/b.hpp"\n'),
        ("postprocess/a.hpp", '#pragma once\n#include "solver/state/b.hpp"\n'),
        ("scenarios/a.hpp", '#pragma once\n#include "postprocess/view/b.hpp"\n'),
        ("extra/a.hpp", "#pragma once\n"),
    ],
    "include_paths": [
        ("solver/core/a.hpp", '#pragma once\n#include "types.hpp"\n'),
        ("solver/core/a.hpp", "#pragma once\n#include <solver/core/types.hpp>\n"),
    ],
    "library_boundaries": [
        ("postprocess/chart/a.cpp", "#include <vtkActor.h>\n"),
        ("solver/simulation/a.cpp", "#include <hdf5.h>\n"),
        ("solver/bed/a.cpp", "#include <toml++/toml.h>\n"),
        ("solver/bed/a.cpp", "#include <gtest/gtest.h>\n"),
    ],
    "own_header_first": [
        ("solver/core/types.cpp", '#include <cstdio>\n\n#include "solver/core/types.hpp"\n')],
    "pragma_once": [("solver/core/a.hpp", "int x;\n")],
    "file_size": [("solver/core/a.cpp", "\n" * (rules.MAXIMUM_LINES + 1))],
    "top_level": [("notes.txt", "x\n"), ("python/a.py", "x = 1\n")],
    "machine_paths": [("README.md", "see /ho" "me/ann/holdground\n"),
                      ("scenarios/beds/a.toml", 'file = "/ro' 'ot/a.stl"\n')],
    "loose_ends": [("solver/core/a.cpp", "// TO" "DO: later\n")],
    "unordered_sums": [
        ("solver/core/a.cpp", "#pragma omp parallel for reduction(+ : sum)\n"),
        ("CMakeLists.txt", "add_compile_options(-ffast" "-math)\n"),
    ],
    "tests_exist": [("solver/core/a.hpp", "#pragma once\n")],
    "checked_by": [
        ("solver/core/a.hpp", "#pragma once\n// A.\n// Checked by: tests/unit/gone_test.cpp\n"),
        ("solver/core/a.hpp", "#pragma once\n// A. Checked by tests/unit/types_test.cpp and\n"
                              "//   tests/verification/gone/.\n"),
        ("solver/core/a.hpp", "#pragma once\n// Checked by: hand\n"),
    ],
    "document_paths": [("README.md", "see `solver/core/gone.hpp`\n"),
                       ("README.md", "![picture](postprocess/gone.png)\n")],
    "step_table": [("solver/simulation/simulation.cpp", STEP.format("b();\n  a();")),
                   ("solver/simulation/simulation.cpp", STEP.format("a();")),
                   ("solver/simulation/simulation.cpp", STEP.format("a();\n" * 40 + "b();"))],
    "tests_found": [("tests/unit/a.cpp", "TEST(A, B) {}\n"),
                    ("tests/other/a_test.cpp", "TEST(A, B) {}\n")],
}
# Some rules look at two files together.
WITH = {
    "tests_exist": {"solver/core/a.cpp": '#include "solver/core/a.hpp"\n'},
    "step_table": {"DEVELOPERS.md": "# x\n\n## 2. The step\n\n| `a` | x |\n| `b` | y |\n\n## 3\n"},
}


class RulesTest(unittest.TestCase):
    def violations(self, rule, extra):
        with tempfile.TemporaryDirectory() as root:
            for name, text in {**CLEAN, **extra}.items():
                path = Path(root) / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8")
            return list(rules.RULES[rule](rules.Tree(root)))

    def test_clean_tree_passes_every_rule(self):
        for rule in rules.RULES:
            self.assertEqual(self.violations(rule, {}), [], rule)

    def test_every_rule_catches_what_is_planted(self):
        self.assertEqual(set(PLANTED), set(rules.RULES), "each rule needs a planted violation")
        for rule, plants in PLANTED.items():
            for name, text in plants:
                caught = self.violations(rule, {name: text, **WITH.get(rule, {})})
                self.assertTrue(any(name.rsplit(".", 1)[0].split("/")[0] in line for line in caught),
                                f"{rule} let {name} pass: {text!r}")

    def test_step_that_follows_its_table_passes(self):
        step = {"solver/simulation/simulation.cpp": STEP.format("a();\n  timers_.book(1);\n  b();")}
        self.assertEqual(self.violations("step_table", {**step, **WITH["step_table"]}), [])

    def test_layers_name_each_other(self):
        for layer, allowed in layers.LAYERS.items():
            for place in allowed:
                self.assertTrue(place in layers.LAYERS or place == "solver" or
                                place.endswith(".hpp"), f"{layer} -> {place}")


if __name__ == "__main__":
    sys.dont_write_bytecode = True
    unittest.main()
