#pragma once
// The keys of a bed file. Checked by tests/unit/scenarios/bed_file_test.cpp,
// tests/unit/scenarios/stack_file_test.cpp.

#include <deque>
#include <filesystem>

#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/schema.hpp"
#include "scenarios/schema/soil_keys.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

struct LayerDraft : GrainDraft {
  LayerRecipe recipe;
};

struct BedDraft : GrainDraft {
  BedRecipe recipe;
  std::deque<LayerDraft> layers;  // deque: schemas point into it while it grows
  LayerDraft sample;              ///< for the reference
};

/// The keys, bound to `draft`.
TableSchema bedSchema(BedDraft& draft);

/// Throws InputError: one line with file, line, column and key.
BedRecipe readBedFile(const std::filesystem::path& path);

/// "FILE:LINE:COLUMN: KEY: text", for a fault that shows only after the file was read.
InputError faultIn(const BedRecipe& bed, const std::string& key, const std::string& text);

}  // namespace holdground
