#pragma once
// Random beds for tests: grains thrown into a box anywhere, overlapping or not.

#include <cstdint>

#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct RandomGrains {
  Domain domain{1.0, 1.0, 0.0, 1.0};
  std::size_t count = 500;
  double smallestRadius = 0.01;  ///< [m]
  double largestRadius = 0.03;   ///< [m]
  double speed = 0.0;            ///< largest component of a velocity [m/s]
  double frozenShare = 0.1;
  double margin = 0.06;         ///< free of grains over the floor and under the ceiling [m]
  double largestOverlap = 1.0;  ///< over the smaller diameter; 0 keeps grains apart
  std::uint32_t seed = 1;
};

/// The same set for the same request. Throws std::runtime_error when the box is too
/// small to keep grains apart.
GrainSet randomGrains(const RandomGrains& request);

/// Vector from a to b, shortest way round the periodic domain [m].
Vec3 nearestImage(const Domain& domain, const Vec3& a, const Vec3& b);

}  // namespace holdground
