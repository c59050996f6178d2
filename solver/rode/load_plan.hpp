#pragma once
// A prescribed load as a function of time: stages that rise to a load and hold it.
// Symbols: load [N], time [s] from the start of the pull.
// Promises: a pure function of time; continuous, and smooth where stages ask for it.
// Checked by tests/unit/rode/load_plan_test.cpp.

#include <cstddef>
#include <vector>

namespace holdground {

enum class Rise {
  kLinear,  ///< a ramp
  kSmooth,  ///< 3u^2 - 2u^3: no jump in the rate at either end
};

/// The smooth rise used wherever something is started: 0 for u <= 0, 3u^2 - 2u^3, 1 for u >= 1.
double smoothRise(double u);

struct LoadStage {
  double load = 0.0;      ///< at the end of the rise and through the hold [N]
  double riseTime = 0.0;  ///< from the load of the stage before [s]
  double holdTime = 0.0;  ///< [s]
  Rise rise = Rise::kSmooth;
};

/// Where in its plan a load is.
struct PlanPhase {
  std::size_t stage = 0;     ///< index; the last one once the plan is over
  bool holding = false;      ///< past the rise of this stage
  double timeInPhase = 0.0;  ///< since the rise or the hold began [s]
  bool finished = false;     ///< the last hold is over
};

class LoadPlan {
 public:
  LoadPlan() = default;
  /// @throws InputError on a negative load or time, or no stage.
  explicit LoadPlan(std::vector<LoadStage> stages);

  /// From zero to `load` at an even rate [N/s].
  static LoadPlan ramp(double load, double rate);
  /// Through `loads` [N] one after another, each reached smoothly at a mean rate [N/s] and held
  /// for holdTime [s].
  static LoadPlan staircase(const std::vector<double>& loads, double rate, double holdTime);

  double loadAt(double time) const;
  PlanPhase phaseAt(double time) const;
  double duration() const { return duration_; }
  const std::vector<LoadStage>& stages() const { return stages_; }

 private:
  std::vector<LoadStage> stages_;
  double duration_ = 0.0;
};

}  // namespace holdground
