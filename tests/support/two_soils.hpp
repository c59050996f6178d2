#pragma once
// Two soils in one bed, for tests of kernels: a sticky light one on a heavy one that rubs.

#include "tests/support/beds.hpp"

namespace holdground {

/// Soil 0 sticks, keeps dents, is light and hardly rubs; soil 1 is sand, stiffer.
KernelSettings twoSoilSettings();

/// The same bed with grains above a height of soil 0 and the others of soil 1 [m].
GrainSet inTwoSoils(GrainSet set, double height);

/// The pushed bed of beds.hpp, its upper half of soil 0.
GrainSet pushedStack();

}  // namespace holdground
