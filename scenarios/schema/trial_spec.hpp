#pragma once
// What a trial file asks for, in SI units. The initial values here are the defaults of the keys.
// Checked by tests/unit/scenarios/trial_file_test.cpp.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/schema/anchor_spec.hpp"
#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/reading.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

enum class PullMode { kSpeed, kLoad };
enum class LoadSchedule { kRamp, kStaircase };
enum class FrameContent { kRegion, kAll };

/// The far end of a stretchy line moves at a prescribed speed.
struct SpeedPull {
  double speed = 0.4;             ///< once under way [m/s]
  double startTime = 0.5;         ///< to reach that speed, smoothly [s]
  double distance = 3.0;          ///< travel of the far end [m]
  double lineLength = 10.0;       ///< unstretched, shackle to far end [m]
  double lineStiffness = 20.0e3;  ///< [N/m]
  double lineDamping = 400.0;     ///< [N s/m]
};

/// The load at the shackle is prescribed.
struct LoadPull {
  LoadSchedule schedule = LoadSchedule::kRamp;
  double rate = 200.0;         ///< ramp, and the rise from step to step of a staircase [N/s]
  double maximum = 0.0;        ///< end of a ramp [N]
  std::vector<double> steps;   ///< loads of a staircase, rising [N]
  double holdTime = 30.0;      ///< on each step [s]
  double haulSpeed = 0.5;      ///< what winch or boat can do [m/s]
  double runawayDrift = 3.0;   ///< the run stops beyond this drift along the pull [m]
  double runawaySpeed = 0.45;  ///< or above this horizontal speed of its centre of mass [m/s]
  double runawayTime = 1.0;    ///< for this long [s]
};

/// A load counts as held when kept this long with less than this drift.
struct HoldCriterion {
  double duration = 30.0;       ///< of trial time [s]
  double driftInLengths = 0.1;  ///< over the anchor's overall length [-]
};

/// Chain hanging at the shackle; only its weight is felt.
struct ChainSpec {
  double massPerLength = 0.0;    ///< in air [kg/m]; 0: no chain
  double suspendedLength = 0.0;  ///< whose weight the shackle carries [m]

  /// Of steel in water of a density [kg/m^3]; 0 in air. [N/m]
  double submergedWeightPerLength(double waterDensity) const {
    constexpr double kSteelDensity = 7850.0;  // [kg/m^3]
    return massPerLength * kStandardGravity * (1.0 - waterDensity / kSteelDensity);
  }
};

struct PullSpec {
  PullMode mode = PullMode::kSpeed;
  double direction = 0.0;              ///< horizontal, from x towards port [rad]
  double elevation = 0.0;              ///< of the line at the shackle above the horizontal [rad]
  double settleTime = 0.5;             ///< the anchor rests on the bed before the pull starts [s]
  std::optional<double> maximumDrift;  ///< of the shackle along the pull, ends the run [m]
  SpeedPull speed;                     ///< used in mode kSpeed
  LoadPull load;                       ///< used in mode kLoad
};

struct OutputSpec {
  double seriesInterval = 0.005;    ///< of simulated time between rows of the series [s]
  double frameInterval = 0.05;      ///< between frames of the grains [s]
  double checkpointInterval = 1.0;  ///< of simulated time [s]
  FrameContent frames = FrameContent::kRegion;
  double regionMargin = 2.0;  ///< about the anchor's path, over the anchor's length [-]
  double filmSpeed = 1.0;     ///< multiple of real time [-]
};

struct TrialSpec {
  std::string name;
  std::string note;
  std::uint64_t seed = 1;          ///< of the bed's packing
  std::optional<int> copiesX;      ///< of the tile; empty: from the length of the drag
  std::optional<int> copiesY = 1;  ///< empty: "auto"
  double placeX = 0.0;             ///< of the bed where the anchor is set, from its middle [m]
  double placeY = 0.0;

  KernelKind kernel = KernelKind::kFast;
  double rayleighFraction = 0.2;  ///< time step over the Rayleigh time of the smallest grain [-]

  PullSpec pull;
  HoldCriterion hold;
  ChainSpec chain;
  OutputSpec output;

  BedRecipe bed;
  AnchorSpec anchor;
  Reading reading;  ///< the file, for its record and for messages
};

}  // namespace holdground
