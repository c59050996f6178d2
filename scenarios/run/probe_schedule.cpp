#include "scenarios/run/probe_schedule.hpp"

#include <algorithm>

namespace holdground {

namespace {

double smooth(double s) {
  s = std::clamp(s, 0.0, 1.0);
  return s * s * (3.0 - 2.0 * s);
}

}  // namespace

ProbeSchedule::ProbeSchedule(const ProbeSpec& spec) : spec_(spec), motions_(spec.bodies.size()) {
  begins_.push_back(0.0);
  for (const ProbePhaseSpec& phase : spec.phases)
    begins_.push_back(begins_.back() + phase.duration);
}

std::size_t ProbeSchedule::phaseAt(double time) const {
  const auto after = std::upper_bound(begins_.begin(), begins_.end(), time);
  const auto index = static_cast<std::size_t>(after - begins_.begin());
  return std::min(std::max<std::size_t>(index, 1) - 1, spec_.phases.size() - 1);
}

std::size_t ProbeSchedule::indexOf(const std::string& body) const {
  const auto found = std::find_if(spec_.bodies.begin(), spec_.bodies.end(),
                                  [&](const ProbeBodySpec& b) { return b.name == body; });
  return static_cast<std::size_t>(found - spec_.bodies.begin());
}

void ProbeSchedule::begin(std::size_t phase, ProbeSimulation& simulation) {
  for (Motion& motion : motions_) {
    for (Axis& axis : motion.axis) axis.from = axis.to;
    motion.spinFrom = motion.spinTo;
  }
  for (const ProbeMoveSpec& move : spec_.phases[phase].moves) {
    const std::size_t body = indexOf(move.body);
    if (move.remove) {
      simulation.removeBody(body);
      continue;
    }
    for (std::size_t k = 0; k < 3; ++k) {
      Axis& axis = motions_[body].axis[k];
      const auto at = static_cast<Eigen::Index>(k);
      if (move.velocity[k]) {
        if (axis.kind == AxisDrive::Kind::kForce) axis.from = simulation.motion(body).velocity[at];
        axis.kind = AxisDrive::Kind::kVelocity;
        axis.to = *move.velocity[k];
      }
      if (move.force[k]) {
        if (axis.kind == AxisDrive::Kind::kVelocity)
          axis.from = -simulation.reaction(body).force[at];
        axis.kind = AxisDrive::Kind::kForce;
        axis.to = *move.force[k];
      }
      if (move.spin[k]) motions_[body].spinTo[at] = *move.spin[k];
    }
  }
}

void ProbeSchedule::apply(ProbeSimulation& simulation) {
  const double time = simulation.time();
  while (next_ < spec_.phases.size() && time >= begins_[next_]) begin(next_++, simulation);
  const std::size_t phase = next_ - 1;
  const double ramp = spec_.phases[phase].ramp;
  const double share = ramp > 0.0 ? smooth((time - begins_[phase]) / ramp) : 1.0;
  for (std::size_t body = 0; body < motions_.size(); ++body) {
    if (!simulation.isPresent(body)) continue;
    const Motion& motion = motions_[body];
    BodyDrive drive;
    for (std::size_t k = 0; k < 3; ++k) {
      const Axis& axis = motion.axis[k];
      const double value = axis.from + share * (axis.to - axis.from);
      drive.axis[k] = axis.kind == AxisDrive::Kind::kVelocity
                          ? AxisDrive::velocity(value)
                          : AxisDrive::force(value, spec_.bodies[body].damping);
    }
    drive.spin = motion.spinFrom + share * (motion.spinTo - motion.spinFrom);
    simulation.setDrive(body, drive);
  }
}

}  // namespace holdground
