#include "solver/anchor/assemble.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "solver/anchor/attitude.hpp"
#include "solver/anchor/extents.hpp"
#include "solver/core/errors.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/geometry/mass_properties.hpp"

namespace holdground {

namespace {

void sumParts(Anchor& anchor) {
  Vec3 massMoment = Vec3::Zero(), volumeMoment = Vec3::Zero();
  std::vector<MassProperties> properties;
  anchor.mass = anchor.volume = 0.0;
  for (const AnchorPart& part : anchor.parts) {
    const MassProperties& p = properties.emplace_back(massProperties(part.mesh));
    anchor.mass += part.density * p.volume;
    anchor.volume += p.volume;
    massMoment += part.density * p.volume * p.centroid;
    volumeMoment += p.volume * p.centroid;
  }
  anchor.centreOfMass = massMoment / anchor.mass;
  anchor.centreOfVolume = volumeMoment / anchor.volume;
  anchor.inertia.setZero();
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    const double density = anchor.parts[k].density;
    anchor.inertia += shiftInertia(density * properties[k].inertia, density * properties[k].volume,
                                   properties[k].centroid - anchor.centreOfMass);
  }
}

void measureExtents(Anchor& anchor) {
  const Vec3 all = extents(anchor), flukes = extents(anchor, PartRole::kFluke);
  anchor.length = all.x();
  anchor.flukeWidth = flukes.y() > 0.0 ? flukes.y() : all.y();
}

void matchMass(Anchor& anchor, double mass) {
  const double factor = mass / anchor.mass;
  if (!(factor <= kLargestMassFactor && factor >= 1.0 / kLargestMassFactor)) {
    throw InputError(fmt::format(
        "bench.mass: found {:.4g} kg, the meshes weigh {:.4g} kg at their densities; allowed is a "
        "factor of {} between them (check the unit of the meshes)",
        mass, anchor.mass, kLargestMassFactor));
  }
  for (AnchorPart& part : anchor.parts) part.density *= factor;
  anchor.inertia *= factor;
  anchor.mass = mass;
}

/// Distance from an inner point along a unit direction to where it leaves the box.
double distanceToBox(const Bounds& box, const Vec3& from, const Vec3& direction) {
  double distance = std::numeric_limits<double>::infinity();
  for (int k = 0; k < 3; ++k) {
    if (direction[k] == 0.0) continue;
    const double wall = direction[k] > 0.0 ? box.upper[k] : box.lower[k];
    distance = std::min(distance, (wall - from[k]) / direction[k]);
  }
  return distance;
}

void moveBalance(Anchor& anchor, const Vec3& shift, const char* key) {
  const double length = shift.norm();
  if (length == 0.0) return;
  Bounds box;
  for (const AnchorPart& part : anchor.parts) box.add(boundsOf(part.mesh));
  const double reach = distanceToBox(box, anchor.centreOfMass, shift / length);
  const double share = length / reach;
  if (!(share <= kLargestShare)) {
    throw InputError(fmt::format(
        "{}: the balance lies {:.3g} m from that of the meshes, which would take {:.0f} % of the "
        "mass moved; allowed are {:.0f} %",
        key, length, 100.0 * share, 100.0 * kLargestShare));
  }
  const Vec3 pointFromNewCentre = (reach - length) * shift / length;
  const double kept = (1.0 - share) * anchor.mass, added = share * anchor.mass;
  anchor.inertia = shiftInertia((1.0 - share) * anchor.inertia, kept, shift) +
                   shiftInertia(Mat3::Zero(), added, pointFromNewCentre);
  anchor.centreOfMass += shift;
}

}  // namespace

double toeReading(const Anchor& anchor) {
  const Vec3 line = anchor.toe - anchor.shackle;
  return anchor.mass * (anchor.centreOfMass - anchor.shackle).dot(line) / line.squaredNorm();
}

double toeAndShacklePitch(const Anchor& anchor) {
  const Vec3 line = chordFrame(anchor).transpose() * (anchor.shackle - anchor.toe);
  return std::atan2(line.z(), line.x());
}

void assemble(Anchor& anchor, const BenchReadings& bench) {
  sumParts(anchor);
  measureExtents(anchor);
  if (bench.mass) matchMass(anchor, *bench.mass);
  if (bench.centreOfMass) {
    moveBalance(anchor, *bench.centreOfMass - anchor.centreOfMass, "bench.centre_of_mass");
  } else if (bench.toeReading) {
    const Vec3 line = anchor.toe - anchor.shackle;
    const double missing = (*bench.toeReading - toeReading(anchor)) / anchor.mass;
    moveBalance(anchor, missing * line, "bench.toe_reading");
  }
}

}  // namespace holdground
