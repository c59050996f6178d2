#pragma once
// What the tools of a full card measured, as text for a person.

#include <nlohmann/json.hpp>
#include <string>

#include "scenarios/card/card_units.hpp"

namespace holdground {

/// The lines of fullCard()'s `tools`.
std::string toolsText(const nlohmann::ordered_json& card, const CardUnits& units);

}  // namespace holdground
