// Grains that touch through the steel: with a setback two grains on either side of a thin plate
// reach each other across it.
#include <algorithm>
#include <cmath>
#include <vector>

#include "solver/contact/grain_mesh_contacts.hpp"

namespace holdground {
namespace {

struct Ball {
  Vec3 centre;  ///< body frame [m]
  double radius;
  std::uint8_t soil;
};

/// Six times the volume of the tetrahedron a, b, c, d, with sign.
double volume(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  return (b - a).cross(c - a).dot(d - a);
}

bool crosses(const Vec3& p, const Vec3& q, const Vec3& a, const Vec3& b, const Vec3& c) {
  if ((volume(a, b, c, p) > 0.0) == (volume(a, b, c, q) > 0.0)) return false;
  const bool side = volume(p, q, a, b) > 0.0;
  return side == (volume(p, q, b, c) > 0.0) && side == (volume(p, q, c, a) > 0.0);
}

}  // namespace

PairsThroughSteel GrainMeshContacts::pairsThroughSteel(const GrainKernel& kernel,
                                                       const RigidMotion& motion) const {
  PairsThroughSteel result;
  if (grid_.reach() < largestRadius_) return result;  // never refreshed
  const Bounds box = boxAround(motion, 2.0 * largestRadius_);
  std::vector<std::uint32_t> slots;
  kernel.collectSlotsInBox(box.lower, box.upper, slots);
  std::vector<Ball> balls;
  for (const std::uint32_t slot : slots) {
    const GrainSample grain = kernel.sample(slot);
    balls.push_back(
        {centreFromBody(grain.position, motion, kernel.domain()), grain.radius, grain.soil});
  }
  std::sort(balls.begin(), balls.end(), [](const Ball& a, const Ball& b) {
    return std::lexicographical_compare(a.centre.begin(), a.centre.end(), b.centre.begin(),
                                        b.centre.end());
  });

  // The crossing lies between the two centres, so at most the larger radius from their middle: the
  // grid's cell there lists the triangle.
  const TriangleMesh& mesh = surface().mesh;
  const auto crossSteel = [&](const Vec3& p, const Vec3& q) {
    for (const std::uint32_t t : grid_.candidates(0.5 * (p + q)))
      if (crosses(p, q, mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2))) return true;
    return false;
  };
  for (std::size_t i = 0; i < balls.size(); ++i) {
    for (std::size_t j = i + 1; j < balls.size(); ++j) {
      const Ball &a = balls[i], &b = balls[j];
      if (b.centre.x() - a.centre.x() > a.radius + largestRadius_) break;
      const double overlap = a.radius + b.radius - (b.centre - a.centre).norm();
      if (overlap <= 0.0 || !crossSteel(a.centre, b.centre)) continue;
      const double reducedRadius = a.radius * b.radius / (a.radius + b.radius);
      ++result.pairs;
      const GrainMaterial &soilA = soils_[a.soil], &soilB = soils_[b.soil];
      const double young = effectiveModuli(soilA.youngModulus, soilA.poissonRatio,
                                           soilB.youngModulus, soilB.poissonRatio)
                               .young;
      result.normalForce += (4.0 / 3.0) * young * std::sqrt(reducedRadius * overlap) * overlap;
    }
  }
  if (load_.normalForce > 0.0) result.shareOfSteel = result.normalForce / load_.normalForce;
  return result;
}

}  // namespace holdground
