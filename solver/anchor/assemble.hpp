#pragma once
// From parts to one rigid body, adjusted to what a person measured on the bench.
//
// Mass: every density is scaled by one factor until the whole weighs what the scales say.
// Balance: a share w of the mass is taken evenly from the whole and set as a point mass where the
//   line from the computed towards the wanted centre of mass leaves the box around the steel:
//   w = (shift) / (distance to that point). What is left and the point mass are both real bodies,
//   so the inertia stays positive definite. w beyond kLargestShare is refused.
// Parts count by their own volume: where two parts overlap, the steel counts twice.
// Checked by tests/unit/anchor/assemble_test.cpp.

#include <optional>

#include "solver/anchor/anchor.hpp"

namespace holdground {

/// Bench readings to match; at most one of centreOfMass and toeReading, which needs mass.
struct BenchReadings {
  std::optional<double> mass;        ///< in air [kg]
  std::optional<Vec3> centreOfMass;  ///< anchor frame [m]
  std::optional<double> toeReading;  ///< scale under the toe, shackle held level with it [kg]
};

/// The model and the scales may differ by this factor, either way.
inline constexpr double kLargestMassFactor = 2.0;
/// Largest share of the mass that may be moved to match the balance.
inline constexpr double kLargestShare = 0.3;

/// Fills mass, centreOfMass, inertia, volume, centreOfVolume, length and flukeWidth of an anchor
/// whose parts, points and pose are set; scales densities to the bench mass. Throws InputError when
/// readings cannot be met ("bench.mass: ...", "bench.centre_of_mass: ...", "bench.toe_reading:
/// ...").
void assemble(Anchor& anchor, const BenchReadings& bench = {});

/// What scales under the toe read while the line from shackle to toe is level and the shackle is
/// the other support [kg].
double toeReading(const Anchor& anchor);

/// Pitch at which toe and shackle lie level, list 0: the anchor on its toe and its shackle, toe
/// down [rad].
double toeAndShacklePitch(const Anchor& anchor);

}  // namespace holdground
