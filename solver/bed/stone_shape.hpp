#pragma once
// Shapes of stones: rigid clusters of spheres, each a little different.
//
// A stone has three axes a >= b >= c; its diameter is b, what a square sieve asks for. Ratios are
// drawn evenly from a/b 1.15 to 1.45 and c/b 0.6 to 0.85 (river gravels: Zingg 1935, from memory).
// Rounded: spheres that touch an ellipsoid from inside: at the centre, half way along a, at the
// tips
//   of a and b; at x on a half axis a the largest has r^2 = c^2 (1 - x^2/(a^2 - c^2)).
// Angular: eight corners of radius 0.2 b near those of a box, moved inwards at random by up to a
//   quarter, about a core. Spikier ones hook into each other and pack at 0.4.
// Mass and moments are those of the union of the spheres, by counting cells (about 1 %).
// Checked by: tests/unit/bed/stone_shape_test.cpp

#include <cstdint>

#include "solver/core/random.hpp"
#include "solver/state/grain_set.hpp"
#include "solver/state/grain_shape.hpp"

namespace holdground {

struct ShapedStone {
  Stone stone;                ///< at the origin, at rest, turned into its principal frame
  std::vector<double> radii;  ///< of its spheres [m]
};

/// Stone number `k` of a stream. @param diameter  its middle axis b [m]
ShapedStone makeStone(GrainShape shape, double diameter, double density,
                      const CounterRandom& random, std::uint64_t k);

/// The longest axis over the diameter, at most.
inline constexpr double kLongestStone = 1.45;

/// Volume over that of a sphere of the same diameter, on the mean.
double meanVolumeShare(GrainShape shape);
/// Spheres in a stone.
std::uint32_t spheresOf(GrainShape shape);

/// An orientation evenly spread over all. Source: Shoemake 1992, Graphics Gems III.
Quat randomOrientation(const CounterRandom& random, std::uint64_t k);

}  // namespace holdground
