#include "solver/probe/driven_body.hpp"

#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

DrivenBody::DrivenBody(double mass, const Vec3& pivot, const Quat& orientation,
                       const BodyDrive& drive)
    : mass_(mass), drive_(drive) {
  if (!(mass >= 0.0) || !std::isfinite(mass))
    throw InputError("driven body: mass must be 0 or greater");
  check(drive);
  motion_.pivot = pivot;
  motion_.orientation = orientation.normalized();
  for (int k = 0; k < 3; ++k) {
    const AxisDrive& axis = drive.axis[static_cast<std::size_t>(k)];
    if (axis.kind == AxisDrive::Kind::kVelocity) halfVelocity_[k] = axis.value;
  }
  halfSpin_ = drive.spin;
  motion_.velocity = halfVelocity_;
  motion_.spin = halfSpin_;
}

void DrivenBody::check(const BodyDrive& drive) const {
  for (const AxisDrive& axis : drive.axis) {
    if (!std::isfinite(axis.value)) throw InputError("driven body: a drive is not finite");
    if (axis.kind == AxisDrive::Kind::kVelocity) continue;
    if (!(mass_ > 0.0))
      throw InputError("driven body: a force needs a body of mass greater than 0 kg");
    if (!(axis.damping >= 0.0) || !std::isfinite(axis.damping))
      throw InputError("driven body: damping must be 0 or greater");
  }
  if (!drive.spin.allFinite()) throw InputError("driven body: a spin is not finite");
}

void DrivenBody::setDrive(const BodyDrive& drive) {
  check(drive);
  for (int k = 0; k < 3; ++k) {
    const AxisDrive& axis = drive.axis[static_cast<std::size_t>(k)];
    if (axis.kind == AxisDrive::Kind::kVelocity)
      motion_.velocity[k] = 0.5 * (halfVelocity_[k] + axis.value);
  }
  motion_.spin = 0.5 * (halfSpin_ + drive.spin);
  drive_ = drive;
}

double DrivenBody::kineticEnergy() const {
  double sum = 0.0;
  for (int k = 0; k < 3; ++k)
    if (drive_.axis[static_cast<std::size_t>(k)].kind == AxisDrive::Kind::kForce)
      sum += 0.5 * mass_ * motion_.velocity[k] * motion_.velocity[k];
  return sum;
}

double DrivenBody::integrate(const BodyLoad& reaction, double timeStep) {
  double power = -reaction.torque.dot(motion_.spin);
  for (int k = 0; k < 3; ++k) {
    const AxisDrive& axis = drive_.axis[static_cast<std::size_t>(k)];
    if (axis.kind == AxisDrive::Kind::kVelocity) {
      power -= reaction.force[k] * motion_.velocity[k];
      halfVelocity_[k] = motion_.velocity[k] = axis.value;
      continue;
    }
    const double before = halfVelocity_[k];
    const double lag = 0.5 * timeStep * axis.damping / mass_;
    const double after =
        (before * (1.0 - lag) + timeStep / mass_ * (axis.value + reaction.force[k])) / (1.0 + lag);
    const double mean = 0.5 * (before + after);
    power += (axis.value - axis.damping * mean) * mean;
    halfVelocity_[k] = after;
    motion_.velocity[k] = after + 0.5 * (after - before);  // predicted to the next full step
  }
  halfSpin_ = motion_.spin = drive_.spin;
  motion_.pivot += timeStep * halfVelocity_;
  const double rate = halfSpin_.norm();
  if (rate > 0.0) {
    motion_.orientation =
        Quat(Eigen::AngleAxisd(rate * timeStep, halfSpin_ / rate)) * motion_.orientation;
    motion_.orientation.normalize();
  }
  return timeStep * power;
}

std::uint64_t DrivenBody::stateHash() const {
  std::uint64_t hash = 0;
  for (const Vec3* v :
       {&motion_.pivot, &motion_.velocity, &motion_.spin, &halfVelocity_, &halfSpin_})
    for (int k = 0; k < 3; ++k) hash = hashBits(hash, (*v)[k]);
  for (int k = 0; k < 4; ++k) hash = hashBits(hash, motion_.orientation.coeffs()[k]);
  return hash;
}

}  // namespace holdground
