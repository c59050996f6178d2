#pragma once
// The scoop's roll bar: a hoop of tube over the heel. Lying on its side or back the anchor rests on
// it and falls back onto its fluke.
//
// The centreline is half an ellipse in a plane across the chord, from foot to foot. The feet stand
// on the fluke's upper face, cut to it, so that no steel is counted twice. The tube is sealed: its
// mesh is the outside, and the density of the part is that of the wall spread over the inside.
// Frame and symbols: scoop_pattern.hpp. Metres.
// Checked by tests/unit/pattern/roll_bar_test.cpp.

#include "scenarios/pattern/scoop_pattern.hpp"
#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

inline constexpr int kRollBarSides = 14;  ///< of the tube; 26 degrees apart, so it is one patch

/// Needs pattern.rollBarDiameter > 0.
TriangleMesh rollBarMesh(const ScoopPattern& pattern);

/// Of the tube with what it encloses [kg/m^3].
double rollBarDensity(const ScoopPattern& pattern);

}  // namespace holdground
