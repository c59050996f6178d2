#pragma once
// A rigid body, free or on a prescribed motion, stepped by leapfrog in step with the grains.
// Source: Lewis & Simo 1994, J. Nonlinear Sci. 4:253 (midpoint rule in body momentum with the
//   Cayley map: a torque-free body keeps energy and spatial angular momentum to rounding).
// Symbols: velocities and angular momentum L at half steps, positions at full steps,
//   v(n+1/2) = v(n-1/2) + dt F(n)/m,   L(n+1/2) = L(n-1/2) + dt T(n),   then free flight over dt.
// Frames: body frame = frame of the inertia, origin at the centre of mass; all else world.
// Promises: time reversible, second order; the work of all loads over a step equals the change of
//   half-step kinetic energy to rounding.
// Checked by tests/verification/motion/rigid_body_test.cpp.

#include <cstddef>
#include <span>
#include <vector>

#include "solver/state/rigid_motion.hpp"

namespace holdground {

class RigidBody {
 public:
  /// A free body. @param mass [kg] > 0. @param inertia about the centre of mass, body frame
  /// [kg m^2], positive definite. @throws InputError when they are not.
  RigidBody(double mass, const Mat3& inertia, const RigidMotion& start);

  /// A body that moves at `start.velocity` and `start.spin` whatever acts on it.
  static RigidBody prescribed(const RigidMotion& start);

  /// Position, orientation and velocities at the present full step; velocities are predicted,
  /// v* = v(n-1/2) + dt/2 a(n-1), as the grains' are.
  const RigidMotion& motion() const { return motion_; }
  const Mat3& rotation() const { return rotation_; }  ///< motion().orientation as a matrix

  /// Moves one step under the sum of everything that acts on the body now.
  /// A prescribed body goes its way; its load still counts for workOf.
  void integrate(const BodyLoad& total, double timeStep);

  /// Work a load did over the last step [J]: dt (F.v + T.w) with the velocities of that full step,
  /// the mean of the half steps on either side. For a prescribed body this is what the load took
  /// from whatever drives it, with the sign turned.
  double workOf(const BodyLoad& load) const {
    return lastStep_ * (load.force.dot(meanVelocity_) + load.torque.dot(meanSpin_));
  }

  /// Changes the velocities of a prescribed body from the next step on.
  void prescribe(const Vec3& velocity, const Vec3& spin);

  bool isPrescribed() const { return prescribed_; }
  double mass() const { return mass_; }
  double inverseMass() const { return inverseMass_; }
  BodyCompliance compliance() const {
    return prescribed_ ? BodyCompliance{} : BodyCompliance{inverseMass_, inverseInertia_};
  }
  /// At the full step, with predicted velocities [J]; zero for a prescribed body.
  double kineticEnergy() const;
  /// At the last half step, orientation of the present full step [J].
  double halfStepKineticEnergy() const;
  Vec3 momentum() const { return mass_ * velocity_; }       ///< at the half step [kg m/s]
  const Vec3& angularMomentum() const { return angular_; }  ///< about the centre of mass, half step

  std::vector<std::byte> freeze() const;
  void thaw(std::span<const std::byte> bytes);

 private:
  /// Angular velocity of an angular momentum, both in the body frame.
  Vec3 spinInBody(const Vec3& momentum) const {
    return isPrincipal_ ? Vec3(inverseInertia_.diagonal().cwiseProduct(momentum))
                        : Vec3(inverseInertia_ * momentum);
  }
  Vec3 spinFor(const Vec3& angularMomentum) const {
    return rotation_ * spinInBody(rotation_.transpose() * angularMomentum);
  }
  void rotate(const Vec3& start, double timeStep);  ///< start: R^T L

  bool prescribed_ = false;
  bool isPrincipal_ = false;  ///< the body frame is that of the principal axes
  double mass_ = 0.0;
  double inverseMass_ = 0.0;
  Mat3 inertia_ = Mat3::Zero();         ///< body frame
  Mat3 inverseInertia_ = Mat3::Zero();  ///< body frame
  Vec3 velocity_ = Vec3::Zero();        ///< at the half step
  Vec3 angular_ = Vec3::Zero();         ///< angular momentum at the half step, world
  Vec3 lastForce_ = Vec3::Zero();
  Vec3 lastTorque_ = Vec3::Zero();
  double lastStep_ = 0.0;
  Vec3 meanVelocity_ = Vec3::Zero();
  Vec3 meanSpin_ = Vec3::Zero();
  RigidMotion motion_;
  Mat3 rotation_ = Mat3::Identity();
};

}  // namespace holdground
