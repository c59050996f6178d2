#pragma once
// Which grains the water reaches: drag acts on these alone. A grain is sheltered when another
// stands over it: within 45 degrees of upright above its centre, and nearer than half of the two
// grains' mean diameter, surface to surface. In a settled loose bed that leaves one layer: 1.06
// grains for each square of a diameter (0.94 with 0.7, 2.2 with 0.25, 6.2 with 0.02).
// Both kernels ask here, at the same steps, so that drag does not depend on how they list pairs.
// Departs: pores below the surface have no water of their own.
// Checked by: tests/unit/state/exposure_test.cpp

#include <cstdint>
#include <vector>

#include "solver/state/grain_set.hpp"

namespace holdground {

/// Largest gap between the surfaces of a grain and what shelters it, over their mean diameter.
inline constexpr double kShelterGap = 0.5;

/// Kernels ask anew every so many steps; ground at 0.4 m/s has then moved about a centimetre.
inline constexpr std::uint64_t kStepsPerExposure = 200;

/// 1 for every grain the water reaches, in the order given.
/// @param positions  in the periodic domain [m]. @param radii  [m]
std::vector<std::uint8_t> exposedGrains(const Domain& domain, const std::vector<Vec3>& positions,
                                        const std::vector<double>& radii);

}  // namespace holdground
