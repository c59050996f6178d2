#pragma once
// The keys of the grains of one soil, as [grains] and each [[layer]] have them, and their checks.
// Checked by tests/unit/scenarios/bed_file_test.cpp, tests/unit/scenarios/stack_file_test.cpp.

#include <optional>
#include <string>

#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/schema.hpp"
#include "scenarios/schema/toml_reader.hpp"

namespace holdground {

/// What holds grains together besides the pull-off: nothing, or the dents they were pressed into.
enum class Cohesion { kPullOff, kElastoPlastic };

/// What else a file may say of grains on the way to their recipe.
struct GrainDraft {
  std::optional<double> diameter;  ///< grains of one size [m]
  Cohesion cohesion = Cohesion::kPullOff;
  std::optional<double> plasticity;     ///< [-]
  std::optional<double> adhesiveShare;  ///< [-]
};

/// Adds the keys, bound to both.
void addGrains(TableSchema& grains, SoilRecipe& soil, GrainDraft& draft);

// All throw InputError at the key; `table` is its path, such as "grains" or "layer[2]".

/// Sizes of grains, of one size or a grading. @param instead  what else a file may have, in words
void takeSizes(SoilRecipe& soil, const GrainDraft& draft, const Reading& reading,
               const std::string& table, const char* instead);
/// Dents belong to one kind of cohesion, which needs both of their keys.
void takeCohesion(SoilRecipe& soil, const GrainDraft& draft, const Reading& reading,
                  const std::string& table);
void checkSoil(const SoilRecipe& soil, const Water& water, const Reading& reading,
               const std::string& table);

}  // namespace holdground
