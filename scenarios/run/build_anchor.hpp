#pragma once
// From what an anchor file says to the anchor the solver knows: reads and checks the meshes, or
// draws the pattern, and adjusts the whole to the bench readings.
// Checked by tests/unit/scenarios/build_anchor_test.cpp, tests/robustness/geometry/.

#include <string>
#include <vector>

#include "scenarios/schema/anchor_spec.hpp"
#include "solver/anchor/anchor.hpp"

namespace holdground {

/// Throws InputError on one line, naming the anchor file or the mesh file at fault.
/// @param ground  that its surfaces will meet. @param lower  grounds of the soils under the first
Anchor buildAnchor(const AnchorSpec& spec, const Ground& ground = {},
                   const std::vector<Ground>& lower = {});

/// One line for each pair of parts that share some volume, whose mass then counts twice; none for
/// those that share too little to matter. Welded plates of a real anchor share a little.
std::vector<std::string> overlapsOf(const Anchor& anchor);

}  // namespace holdground
