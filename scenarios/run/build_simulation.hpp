#pragma once
// From a trial file and its anchor to a simulation ready to step.
// Checked by: tests/unit/scenarios/build_simulation_test.cpp

#include "scenarios/schema/trial_spec.hpp"
#include "solver/bed/tile.hpp"
#include "solver/simulation/simulation.hpp"

namespace holdground {

/// How many copies of the tile a trial lays.
struct Copies {
  int x = 1, y = 1;
};

/// The trial's own numbers, or enough that neither the drag nor the failure zone about the anchor
/// comes round the periodic bed to where it has been.
Copies copiesFor(const TrialSpec& trial, const TileRecipe& tile, const Anchor& anchor);

/// Length of drag the trial may come to [m].
double longestDrag(const TrialSpec& trial);

/// Time the pull may take, without settling [s].
double longestPull(const TrialSpec& trial);

RodeSettings rodeSettings(const TrialSpec& trial);

SimulationSettings simulationSettings(const TrialSpec& trial, const TileRecipe& recipe,
                                      const GrainSet& bed);

/// InputError when the line's damping is more than the time step can follow with this anchor: its
/// force would change sign from step to step and grow.
void checkLine(const TrialSpec& trial, const Anchor& anchor, double timeStep);

/// Reach of the ground that moves with the anchor beyond its steel [m]: four fluke widths ahead
/// would be a full passive wedge at full burial; half of that is what a bed must leave free.
double failureZone(const Anchor& anchor);

}  // namespace holdground
