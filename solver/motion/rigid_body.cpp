#include "solver/motion/rigid_body.hpp"

#include <cmath>

#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

RigidBody::RigidBody(double mass, const Mat3& inertia, const RigidMotion& start)
    : mass_(mass),
      inverseMass_(1.0 / mass),
      inertia_(inertia),
      velocity_(start.velocity),
      motion_(start) {
  if (!(mass > 0.0)) throw InputError("rigid body: mass must be greater than 0");
  const Eigen::LLT<Mat3> factor(inertia);
  if (factor.info() != Eigen::Success)
    throw InputError("rigid body: inertia is not positive definite");
  isPrincipal_ = inertia.isDiagonal(0.0);
  inverseInertia_ =
      isPrincipal_ ? Mat3(inertia.diagonal().cwiseInverse().asDiagonal()) : Mat3(inertia.inverse());
  motion_.orientation.normalize();
  rotation_ = motion_.orientation.toRotationMatrix();
  angular_ = rotation_ * (inertia_ * (rotation_.transpose() * start.spin));
}

RigidBody RigidBody::prescribed(const RigidMotion& start) {
  RigidBody body(1.0, Mat3::Identity(), start);
  body.prescribed_ = true;
  return body;
}

void RigidBody::prescribe(const Vec3& velocity, const Vec3& spin) {
  motion_.velocity = velocity;
  motion_.spin = spin;
}

void RigidBody::integrate(const BodyLoad& total, double timeStep) {
  lastStep_ = timeStep;
  if (prescribed_) {
    meanVelocity_ = motion_.velocity;
    meanSpin_ = motion_.spin;
    motion_.centreOfMass += timeStep * motion_.velocity;
    const Vec3 half = 0.5 * timeStep * motion_.spin;
    motion_.orientation = (Quat(1.0, half.x(), half.y(), half.z()) * motion_.orientation);
    motion_.orientation.normalize();
    rotation_ = motion_.orientation.toRotationMatrix();
    return;
  }
  lastForce_ = total.force;
  lastTorque_ = total.torque;
  const Vec3 acceleration = inverseMass_ * total.force;
  meanVelocity_ = velocity_ + 0.5 * timeStep * acceleration;
  velocity_ += timeStep * acceleration;
  angular_ += timeStep * total.torque;
  motion_.centreOfMass += timeStep * velocity_;
  const Vec3 momentum = rotation_.transpose() * angular_;  // body frame, as below
  const Vec3 torque = rotation_.transpose() * total.torque;
  meanSpin_ = rotation_ * spinInBody(momentum - 0.5 * timeStep * torque);
  rotate(momentum, timeStep);
  motion_.velocity = velocity_ + 0.5 * timeStep * acceleration;
  motion_.spin = spinFor(angular_ + 0.5 * timeStep * total.torque);
}

// Free flight of the orientation. The mean body momentum m over the step solves
//   m = p + dt/2 m x (J^-1 m),   p = R^T L;
// the Cayley map of its angular velocity then carries R so that R^T L ends at 2m - p exactly.
void RigidBody::rotate(const Vec3& start, double timeStep) {
  Vec3 mean = start;
  // Contracts by about (spin x dt) a round; a stone turning 1 rad a step would still converge.
  constexpr int kMaxRounds = 100;
  const double tolerance = 1e-34 * start.squaredNorm();
  double before = start.squaredNorm();
  for (int round = 0; round < kMaxRounds; ++round) {
    const Vec3 next = start + 0.5 * timeStep * mean.cross(spinInBody(mean));
    const double change = (next - mean).squaredNorm();
    mean = next;
    // Another round would change it by this much again, in proportion.
    if (change * change <= tolerance * before) break;
    before = change;
  }
  const Vec3 half = 0.5 * timeStep * spinInBody(mean);
  motion_.orientation = motion_.orientation * Quat(1.0, half.x(), half.y(), half.z());
  motion_.orientation.coeffs() *= 1.0 / motion_.orientation.norm();
  rotation_ = motion_.orientation.toRotationMatrix();
}

double RigidBody::kineticEnergy() const {
  if (prescribed_) return 0.0;
  const Vec3 angular = angular_ + 0.5 * lastStep_ * lastTorque_;
  return 0.5 * mass_ * motion_.velocity.squaredNorm() + 0.5 * angular.dot(motion_.spin);
}

double RigidBody::halfStepKineticEnergy() const {
  if (prescribed_) return 0.0;
  return 0.5 * mass_ * velocity_.squaredNorm() + 0.5 * angular_.dot(spinFor(angular_));
}

std::vector<std::byte> RigidBody::freeze() const {
  ByteWriter out;
  for (const Vec3* v : {&velocity_, &angular_, &lastForce_, &lastTorque_, &meanVelocity_,
                        &meanSpin_, &motion_.centreOfMass, &motion_.velocity, &motion_.spin})
    out.putCoefficients(*v);
  out.putCoefficients(motion_.orientation.coeffs());
  out.put(lastStep_);
  return out.take();
}

void RigidBody::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  for (Vec3* v : {&velocity_, &angular_, &lastForce_, &lastTorque_, &meanVelocity_, &meanSpin_,
                  &motion_.centreOfMass, &motion_.velocity, &motion_.spin})
    in.getCoefficients(*v);
  in.getCoefficients(motion_.orientation.coeffs());
  rotation_ = motion_.orientation.toRotationMatrix();
  lastStep_ = in.get<double>();
}

}  // namespace holdground
