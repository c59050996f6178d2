#pragma once
// Beds of some hundred grains for tests of whole kernels. Every one is made from its numbers alone.

#include <cstdint>

#include "tests/support/kernels.hpp"

namespace holdground {

/// 40 mm grains softened for 30 kPa, at the default step; water and gravity as in a bed.
KernelSettings bedSettings();

/// The same without gravity and water: momentum is kept and no frame is preferred.
KernelSettings weightlessSettings();

struct CloudShape {
  int across = 8;            ///< grains along x and y
  int layers = 8;            ///< along z
  double speed = 0.5;        ///< of each grain, in a random direction [m/s]
  double spread = 0.15;      ///< radius varies by this share either way
  double spacing = 2.35;     ///< between centres of the lattice it starts from, in radii
  bool frozenFloor = false;  ///< the lowest layer is held
  std::uint32_t seed = 1;
};

/// Grains of about 40 mm on a jittered lattice that fills the domain in x and y, none touching,
/// moving and spinning in random directions.
GrainSet cloudOf(const CloudShape& shape);

/// A bed of about 900 grains at rest, settled by the fast kernel.
GrainSet settledBed();
/// The same, its upper half pushed sideways.
GrainSet pushedBed();

/// The largest distance between two positions of one grain, nearest image [m].
double largestDistance(const GrainSet& a, const GrainSet& b);

}  // namespace holdground
