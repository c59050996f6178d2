#include "solver/contact/soil_laws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

auto strength(const GrainMaterial& m) {
  return std::tuple(m.friction, m.rollingFriction, m.pullOffStress, m.plasticity * m.adhesiveShare,
                    m.plasticity, m.pullOffRange);
}

double restitution(const GrainMaterial& a, const GrainMaterial& b) {
  const auto compliance = [](const GrainMaterial& m) {
    return (1.0 - m.poissonRatio * m.poissonRatio) / m.youngModulus;
  };
  const auto loss = [](const GrainMaterial& m) {
    return 1.0 - m.restitutionCoefficient * m.restitutionCoefficient;
  };
  const double ca = compliance(a), cb = compliance(b);
  return std::sqrt(1.0 - (ca * loss(a) + cb * loss(b)) / (ca + cb));
}

}  // namespace

ContactLaw contactLaw(const GrainMaterial& a, const GrainMaterial& b) {
  const GrainMaterial& weaker = strength(b) < strength(a) ? b : a;
  ContactLaw law =
      contactLaw(effectiveModuli(a.youngModulus, a.poissonRatio, b.youngModulus, b.poissonRatio),
                 weaker.friction, weaker.rollingFriction, restitution(a, b));
  law.pullOff = {weaker.pullOffStress, weaker.pullOffRange};
  law.dents = DentLaw(weaker.plasticity, weaker.adhesiveShare);
  return law;
}

SoilLaws::SoilLaws(std::span<const GrainMaterial> soils) {
  if (soils.empty() || soils.size() > kMostSoils)
    throw InputError(fmt::format("bed: {} soils; allowed 1 to {}", soils.size(), kMostSoils));
  for (std::size_t b = 0; b < soils.size(); ++b) {
    for (std::size_t a = 0; a < b; ++a) laws_.push_back(contactLaw(soils[a], soils[b]));
    laws_.push_back(contactLaw(soils[b]));
  }
}

double SoilLaws::reachShare() const {
  double share = 0.0;
  for (const ContactLaw& law : laws_) share = std::max(share, law.pullOff.reachShare());
  return share;
}

bool SoilLaws::keepDents() const {
  return std::any_of(laws_.begin(), laws_.end(),
                     [](const ContactLaw& law) { return law.dents.act(); });
}

}  // namespace holdground
