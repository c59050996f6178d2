#pragma once
// The step a bed is run with: see material/critical_time_step.hpp for the bound and its margin.
// Checked by: tests/unit/material/critical_time_step_test.cpp

#include "solver/material/critical_time_step.hpp"
#include "solver/state/grain_material.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// Step [s]: a fraction of the Rayleigh time of the smallest moving grain; of the smallest grain of
/// all when none moves; shorter where contacts unload more stiffly. InputError for an empty set.
double stableTimeStep(const GrainSet& grains, const GrainMaterial& material,
                      double fraction = kTimeStepFraction);

}  // namespace holdground
