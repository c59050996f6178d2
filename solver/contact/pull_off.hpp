#pragma once
// Attraction of two grains that lets go over a gap: what makes a bed of grains cohesive.
//
// Source: constant pull-off, Derjaguin, Muller & Toporov 1975. Departs: faded out over a gap, which
//   gives it a potential: A = f0 for delta >= 0, f0 (1 + delta/g) for -g < delta < 0, else 0, with
//   f0 = s (4 R*)^2, g = r 4 R*. A bed of equal grains (4 R* = d) is as strong whatever their size:
//   tensile strength phi Z f0/(pi d^2), phi Z/pi about 1 (Rumpf 1970). It remembers nothing. Its
//   slope 4 s R*/r is softer than Hertz by the modulus rule, >= 600 s R*: the step's rule holds.
// Symbols: delta overlap [m], s pull-off stress [Pa], r range [-], R* reduced radius [m],
//   d diameter [m], phi solid fraction, Z coordination.
// Checked by: tests/unit/contact/pull_off_test.cpp,
//   tests/verification/contact/pull_off_pair_test.cpp

#include <algorithm>

namespace holdground {

struct PullOff {
  double stress = 0.0;  ///< s [Pa]; 0 for grains that do not stick
  double range = 0.1;   ///< r [-]

  double force(double reducedRadius) const { return stress * 16.0 * reducedRadius * reducedRadius; }
  double gap(double reducedRadius) const { return range * 4.0 * reducedRadius; }
  /// Gaps at which two grains may attract each other are smaller than the sum of their radii times
  /// this, for 4 R* <= R_i + R_j [-].
  double reachShare() const { return stress > 0.0 ? range : 0.0; }
};

/// A >= 0 [N], toward each other.
inline double attraction(const PullOff& pullOff, double reducedRadius, double overlap) {
  const double share = 1.0 + overlap / pullOff.gap(reducedRadius);
  return pullOff.force(reducedRadius) * std::clamp(share, 0.0, 1.0);
}

/// Energy of the attraction <= 0 [J]; none when the grains are far apart.
inline double attractionEnergy(const PullOff& pullOff, double reducedRadius, double overlap) {
  const double gap = pullOff.gap(reducedRadius);
  const double faded = std::clamp(overlap + gap, 0.0, gap);
  return -pullOff.force(reducedRadius) * (0.5 * faded * faded / gap + std::max(0.0, overlap));
}

}  // namespace holdground
