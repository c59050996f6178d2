#include "solver/rode/load_plan.hpp"

#include <cmath>
#include <utility>

#include "solver/core/errors.hpp"

namespace holdground {

double smoothRise(double u) {
  if (u <= 0.0) return 0.0;
  if (u >= 1.0) return 1.0;
  return u * u * (3.0 - 2.0 * u);
}

LoadPlan::LoadPlan(std::vector<LoadStage> stages) : stages_(std::move(stages)) {
  if (stages_.empty()) throw InputError("load plan: at least one stage is needed");
  for (const LoadStage& stage : stages_) {
    if (!(stage.load >= 0.0)) throw InputError("load plan: a load must not be negative");
    if (!(stage.riseTime >= 0.0) || !(stage.holdTime >= 0.0))
      throw InputError("load plan: a time must not be negative");
    duration_ += stage.riseTime + stage.holdTime;
  }
}

LoadPlan LoadPlan::ramp(double load, double rate) {
  if (!(rate > 0.0)) throw InputError("load plan: the rate of a ramp must be greater than 0");
  return LoadPlan({{load, load / rate, 0.0, Rise::kLinear}});
}

LoadPlan LoadPlan::staircase(const std::vector<double>& loads, double rate, double holdTime) {
  if (!(rate > 0.0)) throw InputError("load plan: the rate of a staircase must be greater than 0");
  std::vector<LoadStage> stages;
  double before = 0.0;
  for (const double load : loads) {
    stages.push_back({load, std::abs(load - before) / rate, holdTime, Rise::kSmooth});
    before = load;
  }
  return LoadPlan(std::move(stages));
}

PlanPhase LoadPlan::phaseAt(double time) const {
  double left = time > 0.0 ? time : 0.0;
  for (std::size_t k = 0; k < stages_.size(); ++k) {
    if (left < stages_[k].riseTime) return {k, false, left, false};
    left -= stages_[k].riseTime;
    if (left < stages_[k].holdTime) return {k, true, left, false};
    if (k + 1 < stages_.size()) left -= stages_[k].holdTime;
  }
  return {stages_.size() - 1, true, left, true};
}

double LoadPlan::loadAt(double time) const {
  const PlanPhase phase = phaseAt(time);
  const LoadStage& stage = stages_[phase.stage];
  if (phase.holding) return stage.load;
  const double before = phase.stage == 0 ? 0.0 : stages_[phase.stage - 1].load;
  const double u = phase.timeInPhase / stage.riseTime;
  return before + (stage.load - before) * (stage.rise == Rise::kSmooth ? smoothRise(u) : u);
}

}  // namespace holdground
