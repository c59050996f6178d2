#include "solver/rode/load_schedule.hpp"

#include <utility>

#include "solver/core/errors.hpp"

namespace holdground {

double smoothRise(double u) {
  if (u <= 0.0) return 0.0;
  if (u >= 1.0) return 1.0;
  return u * u * (3.0 - 2.0 * u);
}

LoadSchedule::LoadSchedule(std::vector<LoadStage> stages) : stages_(std::move(stages)) {
  if (stages_.empty()) throw InputError("load schedule: at least one stage is needed");
  for (const LoadStage& stage : stages_) {
    if (!(stage.load >= 0.0)) throw InputError("load schedule: a load must not be negative");
    if (!(stage.riseTime >= 0.0) || !(stage.holdTime >= 0.0))
      throw InputError("load schedule: a time must not be negative");
    duration_ += stage.riseTime + stage.holdTime;
  }
}

LoadSchedule LoadSchedule::ramp(double load, double rate) {
  if (!(rate > 0.0)) throw InputError("load schedule: the rate of a ramp must be greater than 0");
  return LoadSchedule({{load, load / rate, 0.0, Rise::kLinear}});
}

LoadSchedule LoadSchedule::staircase(double load, int count, double riseTime, double holdTime) {
  if (count < 1) throw InputError("load schedule: a staircase needs at least one step");
  std::vector<LoadStage> stages;
  for (int step = 1; step <= count; ++step)
    stages.push_back({load * step / count, riseTime, holdTime, Rise::kSmooth});
  return LoadSchedule(std::move(stages));
}

SchedulePhase LoadSchedule::phaseAt(double time) const {
  double left = time > 0.0 ? time : 0.0;
  for (std::size_t k = 0; k < stages_.size(); ++k) {
    if (left < stages_[k].riseTime) return {k, false, left, false};
    left -= stages_[k].riseTime;
    if (left < stages_[k].holdTime) return {k, true, left, false};
    if (k + 1 < stages_.size()) left -= stages_[k].holdTime;
  }
  return {stages_.size() - 1, true, left, true};
}

double LoadSchedule::loadAt(double time) const {
  const SchedulePhase phase = phaseAt(time);
  const LoadStage& stage = stages_[phase.stage];
  if (phase.holding) return stage.load;
  const double before = phase.stage == 0 ? 0.0 : stages_[phase.stage - 1].load;
  const double u = phase.timeInPhase / stage.riseTime;
  return before + (stage.load - before) * (stage.rise == Rise::kSmooth ? smoothRise(u) : u);
}

}  // namespace holdground
