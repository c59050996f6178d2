#pragma once
// From what an anchor file says to the anchor the solver knows: reads and checks the meshes, or
// draws the pattern, and adjusts the whole to the bench readings.
// Checked by tests/unit/scenarios/build_anchor_test.cpp, tests/robustness/geometry/.

#include "scenarios/schema/anchor_spec.hpp"
#include "solver/anchor/anchor.hpp"

namespace holdground {

/// Throws InputError on one line, naming the anchor file or the mesh file at fault.
Anchor buildAnchor(const AnchorSpec& spec);

}  // namespace holdground
