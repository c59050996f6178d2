#pragma once
// Measurements of a card or of a calibration kept in a file.
// Checked by: tests/unit/scenarios/bed_card_test.cpp

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

namespace holdground {

/// Writes beside and renames. A folder that cannot be written costs a warning on stderr: `what` is
/// not kept.
void keepJson(const std::filesystem::path& file, const nlohmann::ordered_json& json,
              const std::string& what = "the card");

/// Nothing (null) when there is none, it is damaged, or lacks the key.
nlohmann::ordered_json keptJson(const std::filesystem::path& file, const std::string& key);

}  // namespace holdground
