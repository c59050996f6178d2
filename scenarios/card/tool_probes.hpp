#pragma once
// The full card's tools: T-bar, vane, cone and three plates, each a probe as a probe file has it.
//
// All sizes are counted in the recipe's mean diameters d. T-bar and plates lie along y through the
// tile's periodic sides, so that they are endless: their forces are those of plane strain. Vane and
// cone stand in two copies of the tile side by side. Speeds over the tool's width are those of the
// standard pull, 0.4 m/s over a fluke of 0.3 m; of plates half that.
// Steel: the defaults of a smooth surface for the bed's kind and strength.
// Frame: world. Promises: the same bits for any number of threads.
// Checked by: tests/unit/scenarios/tool_probes_test.cpp

#include <cstdint>
#include <string>
#include <vector>

#include "scenarios/schema/probe_spec.hpp"
#include "solver/bed/tile.hpp"
#include "solver/probe/shear_cell.hpp"
#include "solver/probe/strength.hpp"

namespace holdground {

inline constexpr double kPullSpeed = 0.4;   ///< of the standard pull [m/s]
inline constexpr double kFlukeWidth = 0.3;  ///< about, of the shipped scoop [m]

/// kTBarAgain: the T-bar goes down a second time where it was drawn up, in what healed behind it.
enum class Tool { kTBar, kTBarAgain, kVane, kCone, kPlateDown, kPlateUp, kPlateSideways };

/// As JSON and texts call it.
const char* nameOf(Tool tool);

/// In mean diameters, but for the rate. The defaults are those of the card.
struct ToolSettings {
  double tileLength = 36.0, tileWidth = 12.0, tileDepth = 30.0;
  double barDiameter = 3.0;  ///< wide enough that its factor no longer depends on the grains
  double barDepth = 18.0;    ///< of its middle at the end
  double vaneDiameter = 6.0, vaneHeight = 12.0, vaneBlade = 0.25, vaneDepth = 15.0;
  double vaneTurns = 1.25;
  double coneDiameter = 4.0, coneDepth = 16.0;  ///< depth of its shoulder at the end
  double plateWidth = 6.0, plateThickness = 0.5;
  double pushIn = 0.5, pullUp = 0.6, pushSideways = 0.75;  ///< ways of the plates over their width
  double upliftDepth = 12.0;                               ///< of the top of the plate pulled up
  double rate = kPullSpeed / kFlukeWidth;                  ///< speed over width [1/s]

  std::uint64_t hash() const;
};

/// The diameter that tools are counted in [m].
double nominalDiameter(const TileRecipe& recipe);

/// The tile that all tools go through.
TileRecipe toolTileRecipe(const TileRecipe& recipe, const ToolSettings& settings = {});

struct ToolPlan {
  Tool tool = Tool::kTBar;
  ProbeSpec spec;           ///< copies across in copiesY; the tool is its first body
  double width = 0.0;       ///< of the tool: diameter, breadth, or height of the plate's face [m]
  double height = 0.0;      ///< of a vane [m]
  double endless = 0.0;     ///< length along y within the bed; 0: the tool has ends [m]
  double startDepth = 0.0;  ///< of middle (T-bar, vane), shoulder (cone) or face at the start [m]
  double speed = 0.0;       ///< [m/s], of the vane's rim
};

ToolPlan toolPlan(Tool tool, const BedRecipe& bed, const TileRecipe& tile,
                  const ToolSettings& settings);

/// Resistance against the way of a tool, averaged over short intervals.
struct ToolCurve {
  double width = 0.0, height = 0.0, endless = 0.0, startDepth = 0.0, speed = 0.0;  ///< as planned
  std::size_t grains = 0;
  std::vector<double> way;    ///< since the start of its phase [m]; of the vane [rad]
  std::vector<double> force;  ///< against the way [N]; torque of the vane [N m]

  /// Mean over ways between two, and the standard error of it from four blocks in a row; zero where
  /// there are fewer than four values.
  Estimate mean(double from, double to) const;
  /// Greatest mean over a window of ways that ends before a way.
  double peak(double window, double before) const;
};

/// Runs one tool on one thread.
ToolCurve runTool(const ToolPlan& plan, const Tile& tile, const TileRecipe& recipe,
                  const ProbeProgress& progress = {});

}  // namespace holdground
