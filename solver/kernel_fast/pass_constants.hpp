#pragma once
// The contact law of two soils as the inner loops read it.
// Checked by: tests/unit/kernel_fast/pass_constants_test.cpp

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

/// @param unit  metres per domain unit. @param netGravity  less buoyancy [m/s^2].
PassConstants passConstants(const ContactLaw& law, const float (&unit)[3], double timeStep,
                            double netGravity);

}  // namespace holdground::fast
