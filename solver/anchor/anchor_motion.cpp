#include "solver/anchor/anchor_motion.hpp"

#include <algorithm>
#include <array>
#include <limits>

namespace holdground {
namespace {

double areaOf(const Vec3& a, const Vec3& b, const Vec3& c) {
  return 0.5 * (b - a).cross(c - a).norm();
}

double buriedFlukeShare(const Anchor& anchor, const RigidMotion& motion) {
  double below = 0.0, all = 0.0;
  for (const AnchorPart& part : anchor.parts) {
    if (part.role != PartRole::kFluke) continue;
    for (std::size_t t = 0; t < part.mesh.triangles.size(); ++t) {
      const Vec3 a = worldPoint(anchor, motion, part.mesh.corner(t, 0));
      const Vec3 b = worldPoint(anchor, motion, part.mesh.corner(t, 1));
      const Vec3 c = worldPoint(anchor, motion, part.mesh.corner(t, 2));
      below += areaBelowSurface(a, b, c);
      all += areaOf(a, b, c);
    }
  }
  return all > 0.0 ? below / all : 0.0;
}

}  // namespace

double areaBelowSurface(const Vec3& a, const Vec3& b, const Vec3& c) {
  std::array<Vec3, 3> corner{a, b, c};
  std::sort(corner.begin(), corner.end(),
            [](const Vec3& p, const Vec3& q) { return p.z() < q.z(); });
  const auto& [low, mid, high] = corner;
  const double whole = areaOf(a, b, c);
  if (high.z() <= 0.0) return whole;
  if (low.z() >= 0.0) return 0.0;
  // The cut leaves a small triangle at the corner that is alone on its side of the surface.
  if (mid.z() >= 0.0) {
    const double u = low.z() / (low.z() - mid.z()), w = low.z() / (low.z() - high.z());
    return whole * u * w;
  }
  const double u = high.z() / (high.z() - mid.z()), w = high.z() / (high.z() - low.z());
  return whole * (1.0 - u * w);
}

Vec3 worldPoint(const Anchor& anchor, const RigidMotion& motion, const Vec3& anchorPoint) {
  return motion.centreOfMass + motion.orientation * (anchorPoint - anchor.centreOfMass);
}

RigidMotion settingMotion(const Anchor& anchor, double lowest, double azimuth) {
  const SettingPose& pose = anchor.settingPose;
  RigidMotion motion;
  motion.orientation = orientationFor(anchor, {pose.pitch, pose.list, pose.heading}, azimuth);
  double bottom = std::numeric_limits<double>::infinity();
  for (const AnchorPart& part : anchor.parts)
    for (const Vec3& vertex : part.mesh.vertices)
      bottom = std::min(bottom, worldPoint(anchor, motion, vertex).z());
  motion.centreOfMass.z() = lowest - bottom;
  return motion;
}

AnchorPosition positionOf(const Anchor& anchor, const RigidMotion& motion, double azimuth) {
  AnchorPosition position;
  position.shackle = worldPoint(anchor, motion, anchor.shackle);
  position.toe = worldPoint(anchor, motion, anchor.toe);
  position.heel = worldPoint(anchor, motion, anchor.heel);
  position.shackleEmbedment = -position.shackle.z();
  position.toeEmbedment = -position.toe.z();
  position.heelEmbedment = -position.heel.z();
  position.attitude = attitudeOf(anchor, motion.orientation, azimuth);
  position.buriedFlukeShare = buriedFlukeShare(anchor, motion);
  return position;
}

BodyLoad weightLoad(const Anchor& anchor, double gravity) {
  return {Vec3(0.0, 0.0, -anchor.mass * gravity), Vec3::Zero()};
}

BodyLoad buoyancyLoad(const Anchor& anchor, const RigidMotion& motion, double waterDensity,
                      double gravity) {
  return BodyLoad::at(Vec3(0.0, 0.0, waterDensity * anchor.volume * gravity),
                      worldPoint(anchor, motion, anchor.centreOfVolume), motion.centreOfMass);
}

double potentialEnergy(const Anchor& anchor, const RigidMotion& motion, double waterDensity,
                       double gravity) {
  return gravity *
         (anchor.mass * motion.centreOfMass.z() -
          waterDensity * anchor.volume * worldPoint(anchor, motion, anchor.centreOfVolume).z());
}

}  // namespace holdground
