#pragma once
// The keys of a bed file. Checked by tests/unit/scenarios/bed_file_test.cpp.

#include <filesystem>
#include <optional>

#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/schema.hpp"

namespace holdground {

/// What holds grains together besides the pull-off: nothing, or the dents they were pressed into.
enum class Cohesion { kPullOff, kElastoPlastic };

/// A recipe and what else a file may say on the way to it.
struct BedDraft {
  BedRecipe recipe;
  std::optional<double> diameter;  ///< grains of one size [m]
  Cohesion cohesion = Cohesion::kPullOff;
  std::optional<double> plasticity;     ///< [-]
  std::optional<double> adhesiveShare;  ///< [-]
};

/// The keys, bound to `draft`.
TableSchema bedSchema(BedDraft& draft);

/// Throws InputError: one line with file, line, column and key.
BedRecipe readBedFile(const std::filesystem::path& path);

}  // namespace holdground
