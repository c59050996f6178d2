#pragma once
// Length, width and height of an anchor, defined once: along the axes of its chord frame
// (attitude.hpp), so that they do not depend on how the frame of the meshes lies.
// Checked by tests/unit/anchor/assemble_test.cpp.

#include "solver/anchor/anchor.hpp"
#include "solver/core/types.hpp"

namespace holdground {

/// Extent of all parts along the chord from heel to toe, to port and square to both [m]. Needs
/// parts, toe and heel.
Vec3 extents(const Anchor& anchor);

/// The same of the parts of one role; zero when there is none.
Vec3 extents(const Anchor& anchor, PartRole role);

}  // namespace holdground
