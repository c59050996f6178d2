#include "solver/rode/rode.hpp"

#include <algorithm>
#include <cmath>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

void check(bool good, const char* line) {
  if (!good) throw InputError(line);
}

}  // namespace

double elevationFromScope(double scope) {
  check(scope > 1.0, "rode: scope must be greater than 1");
  return std::asin(1.0 / scope);
}

Rode::Rode(const RodeSettings& settings, const Vec3& shackleAtStart)
    : settings_(settings), start_(shackleAtStart) {
  check(std::abs(settings.elevation) < 0.5 * kPi, "rode: elevation must be within 90 degrees");
  check(settings.chainWeight >= 0.0 && settings.suspendedLength >= 0.0,
        "rode: chain weight and suspended length must not be negative");
  if (settings.mode == RodeMode::kPrescribedSpeed) {
    check(settings.speed.lineLength > 0.0, "rode: line length must be greater than 0");
    check(settings.speed.lineStiffness > 0.0, "rode: line stiffness must be greater than 0");
    check(settings.speed.lineDamping >= 0.0, "rode: line damping must not be negative");
    check(settings.speed.startTime >= 0.0, "rode: start time must not be negative");
  } else {
    check(!settings.load.plan.stages().empty(), "rode: the load plan is empty");
    check(settings.load.haulSpeed > 0.0, "rode: haul speed must be greater than 0");
  }
  heading_ = Vec3(std::cos(settings.azimuth), std::sin(settings.azimuth), 0.0);
  direction_ = std::cos(settings.elevation) * heading_;
  direction_.z() = std::sin(settings.elevation);
}

double Rode::boatTravel(double time) const {
  const SpeedControl& control = settings_.speed;
  const double start = control.startTime;
  if (time <= 0.0) return 0.0;
  if (time >= start) return control.speed * (time - 0.5 * start);
  const double u = time / start;
  return control.speed * start * u * u * u * (1.0 - 0.5 * u);
}

RodePull Rode::speedPull(double time, const Vec3& shackle, const Vec3& velocity) const {
  const SpeedControl& control = settings_.speed;
  RodePull result;
  result.boatEnd = start_ + control.lineLength * direction_ + boatTravel(time) * heading_;
  const Vec3 line = result.boatEnd - shackle;
  const double length = line.norm();
  const double stretch = length - control.lineLength;
  if (stretch <= 0.0) return result;
  const Vec3 along = line / length;
  const double startRise =
      control.startTime > 0.0 ? smoothRise(time / control.startTime) : (time > 0.0 ? 1.0 : 0.0);
  const double rate = (control.speed * startRise * heading_ - velocity).dot(along);
  result.tension = std::max(0.0, control.lineStiffness * stretch + control.lineDamping * rate);
  result.pull = result.tension * along;
  result.storedEnergy = 0.5 * control.lineStiffness * stretch * stretch;
  return result;
}

RodePull Rode::at(double time, const Vec3& shackle, const Vec3& velocity) const {
  RodePull result;
  if (settings_.mode == RodeMode::kPrescribedSpeed) {
    result = speedPull(time, shackle, velocity);
  } else {
    const double paidIn = velocity.dot(direction_) / settings_.load.haulSpeed;
    result.tension = std::clamp(2.0 - 2.0 * paidIn, 0.0, 1.0) * settings_.load.plan.loadAt(time);
    result.pull = result.tension * direction_;
    result.boatEnd = shackle + settings_.speed.lineLength * direction_;
  }
  result.horizontalLoad = std::hypot(result.pull.x(), result.pull.y());
  result.chainWeight = Vec3(0.0, 0.0, -settings_.chainWeight * settings_.suspendedLength);
  return result;
}

bool Rode::isRunning(const Vec3& velocity) const {
  return settings_.mode == RodeMode::kPrescribedLoad &&
         std::hypot(velocity.x(), velocity.y()) > settings_.load.runawaySpeed;
}

bool Rode::isRunaway(double time, const Vec3& shackle, const std::optional<double>& since) const {
  if (settings_.mode != RodeMode::kPrescribedLoad) return false;
  if (drift(shackle) > settings_.load.runawayDrift) return true;
  return since && (time - *since >= settings_.load.runawayTime || isFinished(time));
}

bool Rode::isFinished(double time) const {
  return settings_.mode == RodeMode::kPrescribedLoad && settings_.load.plan.phaseAt(time).finished;
}

}  // namespace holdground
