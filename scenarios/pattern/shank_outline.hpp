#pragma once
// The outline of the scoop's plate shank in the plane y = 0: an aft and a fore edge, each a cubic
// from the root on the fluke to the shackle, and a rounded nose around the shackle.
// Frame and symbols: scoop_pattern.hpp. Metres.
// Checked by tests/unit/pattern/scoop_pattern_test.cpp.

#include <vector>

#include "scenarios/pattern/scoop_pattern.hpp"
#include "solver/core/types.hpp"

namespace holdground {

/// Two points of one section across the shank.
struct ShankSection {
  Vec3 aft;   ///< on the upper, outer edge [m]
  Vec3 fore;  ///< on the lower edge, toward the toe [m]
};

/// Sections from the root (first) around the nose (last), spaced by about pattern.meshSize.
std::vector<ShankSection> shankSections(const ScoopPattern& pattern);

}  // namespace holdground
