#pragma once
// What a holding of this model is known to be wrong by, in sentences for cards and summaries.
//
// Steel: centres of grains stay a radius, less the setback s d, off the steel on either side, so
// that a plate acts as if it were up to (1 - 2 s) d thicker: no edge of tests/validation/setback
// met more. Stones of real size are no such error. Scatter, speed and stiffness:
// tests/validation/trust, whose rows are kept there. Checked by:
// tests/unit/scenarios/known_bias_test.cpp

#include <string>
#include <string_view>
#include <vector>

#include "scenarios/schema/bed_recipe.hpp"

namespace holdground {

/// By how much steel acts as if it were thicker [m]. @param diameter  of the mean grain [m]
double addedThickness(double diameter, double setback);

/// @param kind  of the bed, as its file names it: what has not been studied says so
/// @param steelSetback  share of the diameter [-]
std::vector<std::string> knownBias(std::string_view kind, double diameter, double steelSetback);
/// Of a stack: of each layer, which is named.
std::vector<std::string> knownBias(const BedRecipe& bed);

}  // namespace holdground
