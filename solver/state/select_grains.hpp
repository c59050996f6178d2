#pragma once
// Takes grains out of a set: what stays keeps its order and its contacts, and gets new ids.
// Checked by: tests/unit/state/select_grains_test.cpp

#include <functional>

#include "solver/state/grain_set.hpp"

namespace holdground {

/// The grains for which `stays` is true of their id; of stones those all of whose spheres stay.
GrainSet selectGrains(const GrainSet& grains, const std::function<bool(std::size_t)>& stays);

}  // namespace holdground
