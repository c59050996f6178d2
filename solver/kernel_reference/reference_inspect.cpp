// Looking into the reference kernel: samples, energies, statistics, hash and the exchange form.
#include <algorithm>
#include <cmath>
#include <utility>

#include "solver/core/hash.hpp"
#include "solver/kernel_reference/reference_kernel.hpp"
#include "solver/state/overlap_statistics.hpp"

namespace holdground {
namespace {

std::uint64_t mixIn(std::uint64_t hash, const Vec3& values) {
  for (int axis = 0; axis < 3; ++axis) hash = hashBits(hash, values[axis]);
  return hash;
}

}  // namespace

GrainSample ReferenceKernel::sample(std::uint32_t slot) const {
  const Grain& grain = grains_[slot];
  return {grain.position,
          grain.velocity,
          grain.spin,
          grain.radius,
          grain.inverseMass,
          grain.id,
          static_cast<std::uint8_t>(grain.soil)};
}

void ReferenceKernel::collectSlotsInBox(const Vec3& lower, const Vec3& upper,
                                        std::vector<std::uint32_t>& slots) const {
  slots.clear();
  const auto insideSomeImage = [&](double value, int axis) {
    const double length = plane_.length[axis];
    return value + length * std::ceil((lower[axis] - value) / length) <= upper[axis];
  };
  const Vec3 margin = Vec3::Constant(2.0 * largestSkin_);
  grid_.visitBox(lower - margin, upper + margin, [&](std::uint32_t first, std::uint32_t last) {
    for (std::uint32_t slot = first; slot < last; ++slot) {
      const Vec3& at = grains_[slot].position;
      if (at.z() >= lower.z() && at.z() <= upper.z() && insideSomeImage(at.x(), 0) &&
          insideSomeImage(at.y(), 1))
        slots.push_back(slot);
    }
  });
  std::sort(slots.begin(), slots.end());
}

double ReferenceKernel::potential() const {
  double sum = 0.0;
  for (const Grain& grain : grains_)
    if (!grain.frozen() && !stones_.isOfStone(grain.id))
      sum += netGravity_[grain.soil] * grain.position.z() / grain.inverseMass;
  return sum + stones_.potential();
}

EnergyLedger ReferenceKernel::energy() const {
  EnergyLedger ledger;
  for (const Grain& grain : grains_) {
    if (grain.frozen() || stones_.isOfStone(grain.id)) continue;
    const double rotation = 0.4 * grain.radius * grain.radius * grain.spin.squaredNorm();
    ledger.kinetic += 0.5 * (grain.velocity.squaredNorm() + rotation) / grain.inverseMass;
  }
  ledger.kinetic += stones_.kineticEnergy();
  ledger.waterDrag += stones_.waterDrag();
  ledger.potential = potential() - startPotential_;
  for (const Block& block : blocks_) {
    ledger.friction += block.dissipation.friction;
    ledger.normalDamping += block.dissipation.normalDamping;
    ledger.tangentialDamping += block.dissipation.tangentialDamping;
    ledger.rolling += block.dissipation.rolling;
    ledger.plastic += block.dissipation.plastic;
    ledger.historyArtefact += block.dissipation.historyArtefact;
    ledger.waterDrag += block.waterDrag;
    for (const Pair& pair : block.pairs) {
      if (!block.books(pair)) continue;
      const Grain& i = grains_[pair.i];
      const Grain& j = grains_[pair.j];
      const ContactLaw& law = lawOf(pair);
      const double radius = reducedRadius(i.radius, j.radius);
      const double overlap =
          i.radius + j.radius - plane_.nearestImage(i.position - j.position).norm();
      double dent = pair.history.dent;  // as it is now, a step later than the memory
      ledger.plastic += advanceDent(law.dents, hertzConstant(law.effectiveYoung, radius),
                                    std::max(0.0, overlap), dent);
      ledger.elasticNormal += normalElasticEnergy(law, radius, overlap, dent);
      const double kt = pair.history.tangentialStiffness;
      ledger.elasticTangential += springEnergy(pair.history.tangentialForce, kt);
      ledger.elasticRolling +=
          springEnergy(pair.history.rollingMoment, rollingStiffness(law, radius, kt));
    }
  }
  return ledger;
}

OverlapStatistics ReferenceKernel::overlapStatistics() const {
  std::vector<double> overlaps;
  for (const Block& block : blocks_)
    for (const Pair& pair : block.pairs) {
      if (!block.books(pair)) continue;
      const Grain& i = grains_[pair.i];
      const Grain& j = grains_[pair.j];
      const double overlap =
          i.radius + j.radius - plane_.nearestImage(i.position - j.position).norm();
      if (overlap > 0.0) overlaps.push_back(overlap / (2.0 * std::min(i.radius, j.radius)));
    }
  return overlapStatisticsOf(std::move(overlaps));
}

void ReferenceKernel::visitPairs(const PairVisit& visit) const {
  for (const Block& block : blocks_)
    for (const Pair& pair : block.pairs) {
      if (!block.books(pair)) continue;
      const Grain& i = grains_[pair.i];
      const Grain& j = grains_[pair.j];
      const Vec3 d = plane_.nearestImage(i.position - j.position);
      const double overlap = i.radius + j.radius - d.norm();
      const ContactLaw& law = lawOf(pair);
      if (overlap <= -attractionGap(law, pair.constants.reducedRadius)) continue;
      visit({pair.i, pair.j, d, overlap,
             pairForce(law, {i.radius, i.inverseMass, {i.velocity, i.spin}},
                       {j.radius, j.inverseMass, {j.velocity, j.spin}}, d, pair.history,
                       settings_.timeStep)});
    }
}

std::uint64_t ReferenceKernel::stateHash() const {
  std::uint64_t sum = 0;
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) {
    std::uint64_t hash = mixBits(grains_[slot].id);
    hash = mixIn(hash, grains_[slot].position);
    hash = mixIn(hash, grains_[slot].velocity);
    hash = mixIn(hash, grains_[slot].spin);
    hash = mixIn(hash, motions_[slot].halfVelocity);
    sum += mixIn(hash, motions_[slot].halfSpin);
  }
  for (const Block& block : blocks_)
    for (const Pair& pair : block.pairs) {
      if (!block.books(pair) || pair.history.tangentialStiffness == 0.0) continue;
      const std::uint64_t ids = (std::uint64_t{grains_[pair.i].id} << 32) | grains_[pair.j].id;
      std::uint64_t hash = mixIn(mixBits(~ids), pair.history.tangentialForce);
      hash = mixIn(hash, pair.history.rollingMoment);
      hash = hashBits(hash, pair.history.tangentialStiffness);
      sum += laws_.keepDents() ? hashBits(hash, pair.history.dent) : hash;
    }
  return stones_.empty() ? sum : sum + stones_.stateHash();
}

GrainSet ReferenceKernel::store() const {
  GrainSet set;
  set.domain = domain_;
  set.position.resize(size());
  set.velocity.resize(size());
  set.spin.resize(size());
  set.radius.resize(size());
  set.frozen.resize(size());
  if (!settings_.lowerSoils.empty()) set.soil.resize(size());
  for (const Grain& grain : grains_) {
    set.position[grain.id] = grain.position;
    set.velocity[grain.id] = grain.velocity;
    set.spin[grain.id] = grain.spin;
    set.radius[grain.id] = grain.radius;
    set.frozen[grain.id] = grain.frozen() ? 1 : 0;
    if (!set.soil.empty()) set.soil[grain.id] = static_cast<std::uint8_t>(grain.soil);
  }
  stones_.store(set);
  for (const Block& block : blocks_)
    for (const Pair& pair : block.pairs)
      if (block.books(pair) && pair.history.tangentialStiffness > 0.0)
        set.contacts.push_back({grains_[pair.i].id, grains_[pair.j].id,
                                pair.history.tangentialForce, pair.history.rollingMoment,
                                pair.history.tangentialStiffness, pair.history.dent});
  return set;
}

}  // namespace holdground
