#pragma once
// The step a bed is run with: see material/critical_time_step.hpp for the bound and its margin.
// Checked by: tests/unit/material/critical_time_step_test.cpp

#include <span>

#include "solver/material/critical_time_step.hpp"
#include "solver/state/grain_material.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// Step [s]: a fraction of the Rayleigh time of the smallest moving grain; of the smallest grain of
/// all when none moves; shorter where contacts unload more stiffly. InputError for an empty set.
double stableTimeStep(const GrainSet& grains, const GrainMaterial& material,
                      double fraction = kTimeStepFraction);

/// The least over the soils of a stack: each with itself and, as stiff as those contacts are, with
/// every other. A soil none of whose grains moves counts only beside those that do.
double stableTimeStep(const GrainSet& grains, std::span<const GrainMaterial> soils,
                      double fraction = kTimeStepFraction);

}  // namespace holdground
