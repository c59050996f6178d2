#pragma once
// A body that is led: along each world axis either at a given velocity or by a given force, turning
// at a given spin about its pivot. Stepped by leapfrog beside the grains.
//
// Along a force-driven axis m dv/dt = F + R - c v, with R the reaction of the grains; c is a
// dashpot of the drive, taken at the mean velocity of the step. F is all that is applied: the
// body's own weight and buoyancy are not added. A velocity-driven axis has no inertia.
// Left out: turning freely; the whole mass sits in the pivot.
// Symbols: velocity and spin at half steps, places at full steps. Frame: world.
// Promises: work of the drive = change of kinetic energy - work of R, to rounding.
// Checked by: tests/unit/probe/driven_body_test.cpp

#include <array>
#include <cstdint>

#include "solver/state/rigid_motion.hpp"

namespace holdground {

struct AxisDrive {
  enum class Kind { kVelocity, kForce };
  Kind kind = Kind::kVelocity;
  double value = 0.0;    ///< along the axis, [m/s] or [N]
  double damping = 0.0;  ///< of a force drive [N s/m]

  static AxisDrive velocity(double metresPerSecond) {
    return {Kind::kVelocity, metresPerSecond, 0.0};
  }
  static AxisDrive force(double newtons, double damping = 0.0) {
    return {Kind::kForce, newtons, damping};
  }
};

/// Held where it is, unless told otherwise.
struct BodyDrive {
  std::array<AxisDrive, 3> axis;  ///< x, y, z
  Vec3 spin = Vec3::Zero();       ///< about the pivot [rad/s]
};

/// Where a driven body is and how it moves, at the present full step.
struct DrivenMotion {
  Vec3 pivot = Vec3::Zero();  ///< unwrapped [m]
  Quat orientation = Quat::Identity();
  Vec3 velocity = Vec3::Zero();  ///< of the pivot [m/s]
  Vec3 spin = Vec3::Zero();      ///< [rad/s]
};

class DrivenBody {
 public:
  /// @param mass [kg], greater than 0 where an axis is ever driven by a force.
  /// @throws InputError for a drive that does not fit the mass or is not finite.
  DrivenBody(double mass, const Vec3& pivot, const Quat& orientation, const BodyDrive& drive);

  /// From the next step on. A velocity is that of the half step to come: contacts see the mean of
  /// it and the last. An axis that is let go keeps its velocity.
  void setDrive(const BodyDrive& drive);
  const BodyDrive& drive() const { return drive_; }
  double mass() const { return mass_; }

  const DrivenMotion& motion() const { return motion_; }
  /// Of the force-driven axes [J].
  double kineticEnergy() const;

  /// One step under what the grains do to it, torque about the pivot. Returns the work that the
  /// drive has put in [J].
  double integrate(const BodyLoad& reaction, double timeStep);

  std::uint64_t stateHash() const;

 private:
  void check(const BodyDrive& drive) const;

  double mass_;
  BodyDrive drive_;
  Vec3 halfVelocity_ = Vec3::Zero();
  Vec3 halfSpin_ = Vec3::Zero();
  DrivenMotion motion_;
};

}  // namespace holdground
