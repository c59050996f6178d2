#pragma once
// The full bed card: the quick card, and what tools measured in a deeper tile of the same recipe.
//
// Curves of the tools are kept beside the tiles under a hash of both recipes and of the steel; what
// is made of them (tool_figures.hpp) is worked out at each call.
// Checked by: tests/unit/scenarios/full_card_test.cpp

#include <filesystem>
#include <nlohmann/json.hpp>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/tool_probes.hpp"

namespace holdground {

/// Where the tools' curves are kept.
std::filesystem::path fullCardFile(const BedRecipe& bed, const TileRecipe& recipe,
                                   const CardSettings& settings = {},
                                   const ToolSettings& tools = {});

/// quickCard(), with `tools` and one more sentence of what is left out. In `tools`: the tile
/// (tile_grains, tile_length_m, tile_width_m, tile_depth_m, submerged_unit_weight_N_per_m3,
/// diameter_m, that tools are counted in); the rate (rate_per_s, cell_at_rate, rate_factor,
/// peak_rate_factor); an object for each tool with width_m, height_m, length_m (of endless ones),
/// speed_m_per_s, speed_over_width_per_s, grains, and
///   t_bar: readings of depth_m, vertical_stress_Pa, force_N, force_se_N, pressure_Pa,
///     pressure_over_stress; in mud strength_Pa, cell_strength_Pa, factor, trench_stays_open;
///   vane: depth_m, vertical_stress_Pa, peak_torque_Nm, remoulded_torque_Nm, strength_Pa,
///     remoulded_strength_Pa, sensitivity, cell_peak_strength_Pa, cell_strength_Pa;
///   cone: readings as of the T-bar, with resistance_Pa, resistance_over_stress; in mud factor;
///   plate_down, plate_up, plate_sideways: depth_m, force_N, factor; in mud cell_strength_Pa;
/// verdicts (figure, name, measured, low, high, verdict, source); curves of each tool (way [m], of
/// the vane [rad]; force [N], of the vane [N m]).
nlohmann::ordered_json fullCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
                                const CardSettings& settings = {}, const ToolSettings& tools = {});

}  // namespace holdground
