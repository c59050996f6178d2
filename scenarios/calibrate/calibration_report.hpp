#pragma once
// What a calibration found: for a person, for a program, and as changes of the bed file.
// Checked by: tests/unit/scenarios/calibration_report_test.cpp

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "scenarios/calibrate/calibrate_bed.hpp"
#include "scenarios/calibrate/rewrite_bed.hpp"

namespace holdground {

/// Keys whose values differ from the file's; with a target strength also the bed's `strength`,
/// as it was measured.
std::vector<KeyChange> changesOf(const BedRecipe& bed, const Calibration& calibration);

/// How, to what, and what it holds for.
std::vector<std::string> notesOf(const BedRecipe& bed, const Calibration& calibration);

/// The bed file with both. Reads it back: what stands in it is what was found.
std::string calibratedFile(const BedRecipe& bed, const Calibration& calibration);

/// @param units  of the targets; keys of the bed file stay metric, as they are written.
std::string calibrationText(const BedRecipe& bed, const Calibration& calibration,
                            const DisplayUnits& units = DisplayUnits());
nlohmann::ordered_json calibrationJson(const BedRecipe& bed, const Calibration& calibration);

}  // namespace holdground
