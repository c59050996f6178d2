#pragma once
// What dimensions a scoop can have.
// Checked by tests/robustness/pattern/scoop_limits_test.cpp.

#include <span>
#include <string_view>

#include "scenarios/pattern/scoop_pattern.hpp"

namespace holdground {

/// Range of one dimension by itself; both ends allowed. SI units.
struct ScoopLimit {
  std::string_view key;  ///< as in [pattern]
  double ScoopPattern::*field;
  double lowest;
  double highest;
  std::string_view unit;  ///< "m", "rad", "kg/m^3" or "" for a number
};

/// One entry for every field of ScoopPattern, in its order.
std::span<const ScoopLimit> scoopLimits();

/// Throws InputError naming the key when a dimension is out of its range or contradicts another.
void checkScoop(const ScoopPattern& pattern);

}  // namespace holdground
