#include "scenarios/run/build_simulation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solver/core/errors.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

int atLeastOne(double copies) { return std::max(1, static_cast<int>(std::ceil(copies))); }

LoadPlan loadPlan(const LoadPull& load) {
  return load.schedule == LoadSchedule::kRamp
             ? LoadPlan::ramp(load.maximum, load.rate)
             : LoadPlan::staircase(load.steps, load.rate, load.holdTime);
}

}  // namespace

double failureZone(const Anchor& anchor) { return 2.0 * anchor.flukeWidth; }

double longestDrag(const TrialSpec& trial) {
  const PullSpec& pull = trial.pull;
  const double drag = pull.mode == PullMode::kSpeed ? pull.speed.distance : pull.load.runawayDrift;
  return std::min(drag, pull.maximumDrift.value_or(drag));
}

double longestPull(const TrialSpec& trial) {
  const PullSpec& pull = trial.pull;
  if (pull.mode == PullMode::kLoad) return loadPlan(pull.load).duration();
  // The smooth start loses half of its time.
  return pull.speed.distance / pull.speed.speed + 0.5 * pull.speed.startTime;
}

Copies copiesFor(const TrialSpec& trial, const TileRecipe& tile, const Anchor& anchor) {
  // The anchor faces the pull.
  const double reach = longestDrag(trial) + anchor.length;
  const double c = std::abs(std::cos(trial.pull.direction));
  const double s = std::abs(std::sin(trial.pull.direction));
  const double along = c * reach + s * anchor.flukeWidth + 2.0 * failureZone(anchor);
  const double across = s * reach + c * anchor.flukeWidth + 2.0 * failureZone(anchor);
  Copies copies;
  copies.x = trial.copiesX.value_or(atLeastOne(along / tile.length));
  copies.y = trial.copiesY.value_or(atLeastOne(across / tile.width));
  // A grain meets the nearest image of the anchor only, so images must keep apart.
  const double smallest = 1.5 * anchor.length;
  for (const auto& [key, length] :
       {std::pair{"along", copies.x * tile.length}, std::pair{"across", copies.y * tile.width}}) {
    if (length >= smallest) continue;
    throw trial.reading.fault(
        std::string("tiles.") + key,
        fmt::format("the bed is {:.3g} m long {}, allowed is at least {:.3g} m, one and a half "
                    "anchor lengths",
                    length, key, smallest));
  }
  return copies;
}

RodeSettings rodeSettings(const TrialSpec& trial) {
  const PullSpec& pull = trial.pull;
  RodeSettings rode;
  rode.azimuth = pull.direction;
  rode.elevation = pull.elevation;
  rode.chainWeight = trial.chain.submergedWeightPerLength(trial.bed.water.density);
  rode.suspendedLength = trial.chain.suspendedLength;
  if (pull.mode == PullMode::kSpeed) {
    rode.mode = RodeMode::kPrescribedSpeed;
    rode.speed = {pull.speed.speed, pull.speed.startTime, pull.speed.lineLength,
                  pull.speed.lineStiffness, pull.speed.lineDamping};
  } else {
    rode.mode = RodeMode::kPrescribedLoad;
    rode.load = {loadPlan(pull.load), pull.load.haulSpeed, pull.load.runawayDrift,
                 pull.load.runawaySpeed, pull.load.runawayTime};
  }
  return rode;
}

void checkLine(const TrialSpec& trial, const Anchor& anchor, double timeStep) {
  if (trial.pull.mode != PullMode::kSpeed) return;
  // Speed of the shackle for a push of 1 N s there, in the worst direction. [1/kg]
  const double arm = (anchor.shackle - anchor.centreOfMass).squaredNorm();
  const double yield = 1.0 / anchor.mass + arm * anchor.inertia.inverse().norm();
  const double most = 1.0 / (yield * timeStep);  // half of where it grows
  const double found = trial.pull.speed.lineDamping;
  if (found <= most) return;
  throw trial.reading.fault("pull.line_damping",
                            fmt::format("found {:.4g} N s/m, allowed is at most {:.3g} N s/m with "
                                        "this anchor and a step of {:.3g} s",
                                        found, most, timeStep));
}

SimulationSettings simulationSettings(const TrialSpec& trial, const TileRecipe& recipe,
                                      const GrainSet& bed) {
  SimulationSettings settings;
  settings.kernel = trial.kernel;
  settings.bed = recipe.kernelSettings();
  settings.bed.timeStep = stableTimeStep(bed, recipe.soils(), trial.rayleighFraction);
  settings.rode = rodeSettings(trial);
  settings.settleTime = trial.pull.settleTime;
  return settings;
}

}  // namespace holdground
