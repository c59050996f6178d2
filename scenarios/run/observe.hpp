#pragma once
// Looks at a running simulation and fills what the record takes: rows, frames, descriptions.
// Checked by: tests/unit/scenarios/observe_test.cpp

#include "scenarios/schema/trial_spec.hpp"
#include "solver/bed/tile.hpp"
#include "solver/record/format_frame.hpp"
#include "solver/record/format_run.hpp"
#include "solver/record/format_series.hpp"
#include "solver/simulation/simulation.hpp"

namespace holdground {

/// One soil of the undisturbed bed.
struct GroundLayer {
  double thickness = 0.0;       ///< [m]
  double unitWeight = 0.0;      ///< under water [N/m^3]
  double grainDensity = 0.0;    ///< [kg/m^3]
  double medianDiameter = 0.0;  ///< [m]
};

/// What a row needs to know beyond the simulation.
struct BedSurroundings {
  double solidFraction = 0.57;   ///< of the bed [-]
  double bottom = -1.0;          ///< top of the frozen layer or the hard pan [m]
  double medianDiameter = 0.04;  ///< of the moving grains [m]
  StackBottom bottomKind = StackBottom::kOwnGrains;
  std::vector<GroundLayer> layers{};  ///< of a stack, from the top down
};
BedSurroundings surroundingsOf(const Tile& tile, const TileRecipe& recipe);

/// Everything but the overlap percentiles and the pairs through steel, which cost a search: see
/// setOverlap and setThroughSteel.
SeriesRow sampleRow(const Simulation& simulation, const BedSurroundings& bed);
void setOverlap(SeriesRow& row, const OverlapStatistics& overlap);
void setThroughSteel(SeriesRow& row, const PairsThroughSteel& pairs);

/// @param grains  ids of those the frame keeps; empty: all
FrameData sampleFrame(const Simulation& simulation, const std::vector<std::uint32_t>& grains);

/// @param grains  ids of those the frames keep; empty: all
RunDescription describeRun(const TrialSpec& trial, const TileRecipe& recipe, const Tile& tile,
                           const GrainSet& bed, const Simulation& simulation, int tilesX,
                           int tilesY, int threads, const std::vector<std::uint32_t>& grains);

}  // namespace holdground
