#pragma once
// The bed card as text for a person.

#include <nlohmann/json.hpp>
#include <string>

#include "solver/core/units.hpp"

namespace holdground {

/// The lines of tileCard().
std::string tileCardText(const nlohmann::ordered_json& card, const DisplayUnits& units = {});

/// The lines of quickCard() that follow those of the tile.
std::string probesText(const nlohmann::ordered_json& card, const DisplayUnits& units = {});

}  // namespace holdground
