#pragma once
// How far a body can sink straight down before its steel meets a grain.
//
// A sphere of radius R meets a triangle where the ray from its centre straight up enters the
// triangle grown by R: planes beside its face, cylinders about its edges, spheres about its
// corners. The least distance over all triangles and grains is exact.
// Frame: world. Promises: serial, so the same bits for any number of threads.
// Checked by: tests/unit/contact/sink_distance_test.cpp

#include <array>
#include <vector>

#include "solver/state/grain_set.hpp"

namespace holdground {

using Corners = std::array<Vec3, 3>;  ///< of one triangle [m]

/// From a sphere straight up to a triangle that lies above it [m]; infinite when it passes beside.
double verticalClearance(const Vec3& centre, double radius, const Corners& triangle);

/// The least over all triangles, which lie above all grains, and the grains of a periodic bed [m];
/// infinite when no grain lies under any. @param setbackShares  of a grain's
/// diameter, by soil [-]
double sinkDistance(const std::vector<Corners>& steel, const GrainSet& bed,
                    const std::vector<double>& setbackShares);

}  // namespace holdground
