#pragma once
// An anchor on its way: where its named points are, how it lies, how much of it is in the bed, and
// what gravity and water do to it.
// Frames: the anchor frame of anchor.hpp is turned by motion.orientation, and its centre of mass
//   lies at motion.centreOfMass. Embedment is depth below z = 0, positive down [m].
// Checked by tests/unit/anchor/anchor_motion_test.cpp.

#include "solver/anchor/anchor.hpp"
#include "solver/anchor/attitude.hpp"
#include "solver/state/rigid_motion.hpp"

namespace holdground {

/// At rest in its setting pose: lowest point of the meshes at height `lowest` [m], centre of mass
/// over x = y = 0. @param azimuth  of the pull it faces, from the x axis to port [rad]
RigidMotion settingMotion(const Anchor& anchor, double lowest, double azimuth = 0.0);

/// A point of the anchor frame in the world [m].
Vec3 worldPoint(const Anchor& anchor, const RigidMotion& motion, const Vec3& anchorPoint);

/// How an anchor lies.
struct AnchorPosition {
  Vec3 shackle, toe, heel;  ///< world, unwrapped [m]
  double shackleEmbedment, toeEmbedment, heelEmbedment;
  Attitude attitude;
  double buriedFlukeShare;  ///< surface of the fluke parts below z = 0 over all of it, 0 .. 1 [-]
};
AnchorPosition positionOf(const Anchor& anchor, const RigidMotion& motion, double azimuth = 0.0);

/// Weight in air, at the centre of mass.
BodyLoad weightLoad(const Anchor& anchor, double gravity);

/// Buoyancy, at the centre of volume. @param waterDensity [kg/m^3], 0 in the dry.
BodyLoad buoyancyLoad(const Anchor& anchor, const RigidMotion& motion, double waterDensity,
                      double gravity);

/// Of weight and buoyancy, zero with both centres at z = 0 [J].
double potentialEnergy(const Anchor& anchor, const RigidMotion& motion, double waterDensity,
                       double gravity);

/// Area of the part of triangle (a, b, c) that lies below z = 0 [m^2].
double areaBelowSurface(const Vec3& a, const Vec3& b, const Vec3& c);

}  // namespace holdground
