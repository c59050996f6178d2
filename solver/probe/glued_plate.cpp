#include "solver/probe/glued_plate.hpp"

#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/material/effective_moduli.hpp"

namespace holdground {
namespace {

constexpr double kPressedShare = 0.005;  // overlap at which the glue is as stiff as a contact
constexpr double kDampingShare = 0.2;    // of critical
constexpr double kSpinShare = 0.1;       // of a grain's spin that a step takes

double massOfGrain(double radius, double density) {
  return 4.0 / 3.0 * kPi * radius * radius * radius * density;
}

}  // namespace

std::vector<GluedPlate::Glued> GluedPlate::choose(const GrainSet& bed, double lowest,
                                                  const GrainMaterial& material) {
  const double young = effectiveModuli(material.youngModulus, material.poissonRatio,
                                       material.youngModulus, material.poissonRatio)
                           .young;
  std::vector<Glued> chosen;
  for (std::size_t k = 0; k < bed.size(); ++k) {
    if (bed.frozen[k] != 0 || bed.position[k].z() < lowest) continue;
    const double radius = bed.radius[k];
    // kn = 2 E* sqrt(R* overlap), R* = R/2 among equals.
    const double stiffness = 2.0 * young * std::sqrt(0.5 * radius * kPressedShare * 2.0 * radius);
    const double critical = 2.0 * std::sqrt(stiffness * massOfGrain(radius, material.density));
    chosen.push_back(
        {static_cast<std::uint32_t>(k), 0, bed.position[k], stiffness, kDampingShare * critical});
  }
  if (chosen.empty()) throw InputError("shear cell: no grains to glue to the lid");
  return chosen;
}

double GluedPlate::massOf(const std::vector<Glued>& grains, const GrainSet& bed, double density) {
  double mass = 0.0;
  for (const Glued& g : grains) mass += 2.0 * massOfGrain(bed.radius[g.id], density);
  return mass;
}

GluedPlate::GluedPlate(const GrainSet& bed, double lowest, const GrainMaterial& material,
                       const BodyDrive& drive)
    : grains_(choose(bed, lowest, material)),
      body_(massOf(grains_, bed, material.density), Vec3::Zero(), Quat::Identity(), drive) {
  for (const Glued& g : grains_)
    undersideAtStart_ += (g.place.z() - bed.radius[g.id]) / static_cast<double>(grains_.size());
}

void GluedPlate::hold(GrainKernel& kernel, bool slotsMoved, double timeStep) {
  if (slotsMoved) {
    std::vector<std::uint32_t> slotOf(kernel.size());
    for (std::uint32_t slot = 0; slot < kernel.size(); ++slot)
      slotOf[kernel.sample(slot).id] = slot;
    for (Glued& g : grains_) g.slot = slotOf[g.id];
  }
  const DrivenMotion& plate = body_.motion();
  const Domain& domain = kernel.domain();
  reaction_ = Vec3::Zero();
  for (const Glued& g : grains_) {
    const GrainSample grain = kernel.sample(g.slot);
    Vec3 off = grain.position - g.place - plate.pivot;
    off.x() -= domain.lengthX * std::round(off.x() / domain.lengthX);
    off.y() -= domain.lengthY * std::round(off.y() / domain.lengthY);
    const Vec3 force = -g.stiffness * off - g.damping * (grain.velocity - plate.velocity);
    const double inertia = 0.4 * grain.radius * grain.radius / grain.inverseMass;
    kernel.addForce(g.slot, force, -(kSpinShare * inertia / timeStep) * grain.spin);
    reaction_ -= force;
  }
}

}  // namespace holdground
