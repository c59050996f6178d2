#pragma once
// A grain as the steel sees it; private to GrainMeshContacts.

#include <cmath>

#include "solver/contact/grain_mesh_contacts.hpp"

namespace holdground {

/// A grain as the body sees it: body frame, velocities relative to the centre of mass.
struct GrainMeshContacts::View {
  Vec3 centre;     ///< [m]
  Vec3 velocity;   ///< of the grain less that of the body's centre of mass [m/s]
  Vec3 spin;       ///< of the grain [rad/s]
  Vec3 bodySpin;   ///< [rad/s]
  double radius;   ///< [m]
  double setback;  ///< of its surface toward steel [m]
  double mass;     ///< [kg]; a frozen grain damps as if it were free
  std::uint8_t soil;

  /// @param offset from the body's centre of mass to the image that is meant, world frame [m]
  View(const GrainSample& grain, const Vec3& offset, const RigidMotion& motion,
       const Mat3& rotation, const GrainMaterial& material) {
    centre = rotation.transpose() * offset;
    velocity = rotation.transpose() * (grain.velocity - motion.velocity);
    spin = rotation.transpose() * grain.spin;
    bodySpin = rotation.transpose() * motion.spin;
    radius = grain.radius;
    soil = grain.soil;
    setback = material.steelSetback * 2.0 * radius;
    mass = grain.inverseMass > 0.0
               ? 1.0 / grain.inverseMass
               : material.density * (4.0 / 3.0) * kPi * radius * radius * radius;
  }

  /// From the body's centre of mass to the image that is nearest to `expected`, world frame [m].
  static Vec3 offsetFromBody(const Vec3& position, const RigidMotion& motion, const Domain& domain,
                             const Vec3& expected) {
    Vec3 d = position - motion.centreOfMass;
    if (std::abs(d.x() - expected.x()) > 0.5 * domain.lengthX)
      d.x() -= domain.lengthX * std::round((d.x() - expected.x()) / domain.lengthX);
    if (std::abs(d.y() - expected.y()) > 0.5 * domain.lengthY)
      d.y() -= domain.lengthY * std::round((d.y() - expected.y()) / domain.lengthY);
    return d;
  }

  /// How near its centre must come to touch [m].
  double reach() const { return radius - setback; }

  /// Velocity of the grain's surface at a point of the body less that of the body there.
  Vec3 velocityAt(const Vec3& point) const {
    return velocity + spin.cross(point - centre) - bodySpin.cross(point);
  }
};

}  // namespace holdground
