#pragma once
// Two spheres in contact: where they touch, how they move there, what each of them feels.
//
// Symbols: d = x_i - x_j (nearest image), n = d/|d| from j to i, delta = R_i + R_j - |d| overlap.
//   Arms arm_i = R_i |d|/(R_i + R_j), arm_j alike: they meet in one point, x_i - arm_i n =
//   x_j + arm_j n, so that the power of force and torque is exactly that of the contact law.
//   v = v_i - v_j + n x (arm_i w_i + arm_j w_j)   (w_i x (-arm_i n) = n x arm_i w_i)
//   torque on i = (-arm_i n) x F + M = -arm_i (n x F) + M,  on j = -arm_j (n x F) - M
// Frame: world. SI units. Checked by: tests/unit/contact/sphere_pair_test.cpp

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/core/types.hpp"

namespace holdground {

/// What two spheres bring to every contact they ever have.
struct PairConstants {
  double reducedRadius;   ///< R* [m]
  double reducedMass;     ///< m* [kg]
  double rollingInertia;  ///< I_r [kg m^2]
};

inline PairConstants pairConstants(double radiusI, double radiusJ, double inverseMassI,
                                   double inverseMassJ) {
  return {reducedRadius(radiusI, radiusJ), reducedMass(inverseMassI, inverseMassJ),
          rollingInertia(inverseMassI, radiusI, inverseMassJ, radiusJ)};
}

/// Geometry of a touching pair from d [m], its length and R_i + R_j.
inline ContactGeometry pairGeometry(const Vec3& d, double distance, double radiusSum,
                                    const PairConstants& constants) {
  return {d * (1.0 / distance), radiusSum - distance, constants.reducedRadius,
          constants.reducedMass, constants.rollingInertia};
}

/// Lever arms of a pair, from the centres to the point of contact [m].
struct LeverArms {
  double i, j;
};

inline LeverArms leverArms(double distance, double radiusI, double radiusJ) {
  const double scale = distance / (radiusI + radiusJ);
  return {radiusI * scale, radiusJ * scale};
}

/// How a body's centre moves, at the full step.
struct CentreMotion {
  const Vec3& velocity;  ///< [m/s]
  const Vec3& spin;      ///< [rad/s]
};

/// Relative motion of two spheres at their contact.
inline ContactMotion pairMotion(const CentreMotion& i, const CentreMotion& j, const Vec3& normal,
                                const LeverArms& arm) {
  return {i.velocity - j.velocity + normal.cross(arm.i * i.spin + arm.j * j.spin), i.spin - j.spin};
}

/// What a contact does to both: force on i (j gets the opposite) and the torque on each.
struct PairLoad {
  Vec3 force;    ///< on i [N]
  Vec3 torqueI;  ///< [N m]
  Vec3 torqueJ;  ///< [N m]
};

inline PairLoad pairLoad(const ContactForce& contact, const Vec3& normal, const LeverArms& arm) {
  const Vec3 turning = normal.cross(contact.tangential);
  return {contact.normal * normal + contact.tangential, contact.rolling - arm.i * turning,
          -contact.rolling - arm.j * turning};
}

/// A sphere as a pair sees it at one instant.
struct PairedSphere {
  double radius;       ///< [m]
  double inverseMass;  ///< [1/kg]
  CentreMotion motion;
};

/// Force [N] on i that the next step will apply, from d [m] and what the contact remembers; zero
/// when the two neither touch nor attract each other.
inline Vec3 pairForce(const ContactLaw& law, const PairedSphere& i, const PairedSphere& j,
                      const Vec3& d, ContactHistory history, double timeStep) {
  const PairConstants constants = pairConstants(i.radius, j.radius, i.inverseMass, j.inverseMass);
  const double distance = d.norm();
  const ContactGeometry geometry = pairGeometry(d, distance, i.radius + j.radius, constants);
  if (geometry.overlap <= 0.0) {
    const double pull = law.pullOff.stress > 0.0
                            ? attraction(law.pullOff, constants.reducedRadius, geometry.overlap)
                            : 0.0;
    return -pull * geometry.normal;
  }
  const ContactMotion motion =
      pairMotion(i.motion, j.motion, geometry.normal, leverArms(distance, i.radius, j.radius));
  ContactDissipation unused;
  const ContactForce contact = evaluateContact(law, geometry, motion, timeStep, history, unused);
  return contact.normal * geometry.normal + contact.tangential;
}

}  // namespace holdground
