#pragma once
// Where a rigid body is and how it moves, and what acts on it: the forms in which contact, rode,
// anchor and integrator meet. World frame throughout; positions are unwrapped (a body that passes
// the side of a periodic bed keeps counting).

#include "solver/core/types.hpp"

namespace holdground {

struct RigidMotion {
  Vec3 centreOfMass = Vec3::Zero();     ///< [m]
  Quat orientation = Quat::Identity();  ///< body frame into world
  Vec3 velocity = Vec3::Zero();         ///< of the centre of mass, at the full step [m/s]
  Vec3 spin = Vec3::Zero();             ///< angular velocity, at the full step [rad/s]

  /// Velocity of the material point at `point` [m].
  Vec3 velocityAt(const Vec3& point) const { return velocity + spin.cross(point - centreOfMass); }
};

/// How a body yields to a push, body frame; all zero for one that nothing moves.
struct BodyCompliance {
  double inverseMass = 0.0;            ///< [1/kg]
  Mat3 inverseInertia = Mat3::Zero();  ///< about the centre of mass [1/(kg m^2)]

  /// Speed along the unit vector `direction` of the body's point at `arm` from the centre of mass,
  /// for a push of 1 N s there along it. [1/kg]
  double along(const Vec3& direction, const Vec3& arm) const {
    const Vec3 turn = arm.cross(direction);
    return inverseMass + turn.dot(inverseInertia * turn);
  }
};

/// A force and the torque about the centre of mass.
struct BodyLoad {
  Vec3 force = Vec3::Zero();   ///< [N]
  Vec3 torque = Vec3::Zero();  ///< about the centre of mass [N m]

  /// `applied` acting at `point`, for a body whose centre of mass is at `centreOfMass`.
  static BodyLoad at(const Vec3& applied, const Vec3& point, const Vec3& centreOfMass) {
    return {applied, (point - centreOfMass).cross(applied)};
  }
  BodyLoad& operator+=(const BodyLoad& other) {
    force += other.force;
    torque += other.torque;
    return *this;
  }
  friend BodyLoad operator+(BodyLoad a, const BodyLoad& b) { return a += b; }
};

}  // namespace holdground
