// What the fast kernel shows of itself between steps: energy, overlap, hash, exchange form.
#include <algorithm>
#include <cmath>

#include "solver/contact/sphere_pair.hpp"
#include "solver/core/hash.hpp"
#include "solver/kernel_fast/fast_kernel.hpp"
#include "solver/state/overlap_statistics.hpp"

namespace holdground {

using fast::Block;
using fast::GrainMotion;
using fast::kLanes;
using fast::PackedGrain;
using fast::PairGroup;

/// Pair of slots lower < upper, which may be apart (overlap < 0) where it says pair; `group` and
/// `lane` hold its history.
struct FastKernel::Contact {
  const PackedGrain& lower;
  const PackedGrain& upper;
  std::uint32_t lowerSlot, upperSlot;
  const PairGroup& group;
  std::size_t lane;
  std::uint32_t law;
  double dent;  ///< [m]
  Vec3 branch;  ///< from upper to lower [m]
  double overlap;
};

template <typename Visit>
void FastKernel::forPairs(Visit&& visit) const {
  const double unit[3] = {state_.unit[0], state_.unit[1], state_.unit[2]};
  for (const Block& block : state_.blocks)
    block.forPairs([&](std::size_t p) {
      const std::uint32_t lower = block.lower[p] / fast::kSlotBytes;
      const std::uint32_t upper = block.upper[p] / fast::kSlotBytes;
      if (lower < block.first) return;  // counted in the lower grain's block
      const PackedGrain& a = state_.grains[lower];
      const PackedGrain& b = state_.grains[upper];
      Vec3 branch;
      for (int axis = 0; axis < 3; ++axis)
        branch[axis] =
            unit[axis] * static_cast<std::int32_t>(static_cast<std::uint32_t>(a.position[axis]) -
                                                   static_cast<std::uint32_t>(b.position[axis]));
      const double overlap =
          static_cast<double>(a.radius) + static_cast<double>(b.radius) - branch.norm();
      visit(Contact{
          a, b, lower, upper, block.history[p / kLanes], p % kLanes, state_.lawOf(lower, upper),
          block.dents.empty() ? 0.0 : static_cast<double>(block.dents[p]), branch, overlap});
    });
}

template <typename Visit>
void FastKernel::forContacts(Visit&& visit) const {
  forPairs([&](const Contact& c) {
    if (c.overlap > 0.0) visit(c);
  });
}

EnergyLedger FastKernel::energy() const {
  EnergyLedger ledger;
  for (std::size_t slot = 0; slot < size(); ++slot) {
    const PackedGrain& g = state_.grains[slot];
    if (state_.motions[slot].moves != fast::kFree) continue;
    const double mass = 1.0 / static_cast<double>(g.inverseMass);
    double v2 = 0.0, w2 = 0.0;
    for (int axis = 0; axis < 3; ++axis) {
      v2 += static_cast<double>(g.velocity[axis]) * static_cast<double>(g.velocity[axis]);
      w2 += static_cast<double>(g.radiusSpin[axis]) * static_cast<double>(g.radiusSpin[axis]);
    }
    ledger.kinetic += 0.5 * mass * (v2 + 0.4 * w2);
    ledger.potential += mass * static_cast<double>(static_cast<float>(netGravity(soilOf(slot)))) *
                        positionOf(g).z();
  }
  ledger.kinetic += stones_.kineticEnergy();
  ledger.potential += stones_.potential();
  ledger.waterDrag += stones_.waterDrag();
  forPairs([&](const Contact& c) {
    const ContactLaw& law = laws_[c.law];
    const double radius =
        reducedRadius(static_cast<double>(c.lower.radius), static_cast<double>(c.upper.radius));
    double dent = c.dent;  // as it is now, a step later than the memory
    ledger.plastic += advanceDent(law.dents, hertzConstant(law.effectiveYoung, radius),
                                  std::max(0.0, c.overlap), dent);
    ledger.elasticNormal += normalElasticEnergy(law, radius, c.overlap, dent);
    if (c.overlap <= 0.0) return;
    const double kt = c.group.stiffness[c.lane];
    if (kt <= 0.0) return;
    const double kr =
        static_cast<double>(constants_[c.law].rollingRatio) * kt;  // for moments over R*
    double s2 = 0.0, m2 = 0.0;
    for (int axis = 0; axis < 3; ++axis) {
      const double s = c.group.tangential[axis][c.lane], m = c.group.rolling[axis][c.lane];
      s2 += s * s;
      m2 += m * m;
    }
    ledger.elasticTangential += 0.5 * s2 / kt;
    if (kr > 0.0) ledger.elasticRolling += 0.5 * m2 / kr;
  });
  for (const Block& block : state_.blocks) {
    ledger.friction += block.losses.friction;
    ledger.normalDamping += block.losses.normalDamping;
    ledger.tangentialDamping += block.losses.tangentialDamping;
    ledger.rolling += block.losses.rolling;
    ledger.plastic += block.losses.plastic;
    ledger.historyArtefact += block.losses.historyArtefact;
    ledger.waterDrag += block.waterDrag;
  }
  return ledger;
}

OverlapStatistics FastKernel::overlapStatistics() const {
  std::vector<double> shares;
  forContacts([&](const Contact& c) {
    shares.push_back(c.overlap / (2.0 * std::min<double>(c.lower.radius, c.upper.radius)));
  });
  return overlapStatisticsOf(std::move(shares));
}

void FastKernel::visitPairs(const PairVisit& visit) const {
  forPairs([&](const Contact& c) {
    const GrainSample a = sample(c.lowerSlot), b = sample(c.upperSlot);
    const double radius = reducedRadius(a.radius, b.radius);
    const ContactLaw& law = laws_[c.law];
    if (c.overlap <= -attractionGap(law, radius)) return;
    ContactHistory history;
    for (int axis = 0; axis < 3; ++axis) {
      history.tangentialForce[axis] = c.group.tangential[axis][c.lane];
      history.rollingMoment[axis] = radius * static_cast<double>(c.group.rolling[axis][c.lane]);
    }
    history.tangentialStiffness = c.group.stiffness[c.lane];
    history.dent = c.dent;
    visit({c.lowerSlot, c.upperSlot, c.branch, c.overlap,
           pairForce(law, {a.radius, a.inverseMass, {a.velocity, a.spin}},
                     {b.radius, b.inverseMass, {b.velocity, b.spin}}, c.branch, history,
                     settings_.timeStep)});
  });
}

std::uint64_t FastKernel::stateHash() const {
  std::uint64_t hash = 0;
  for (std::size_t slot = 0; slot < size(); ++slot) {
    const std::uint64_t id = mixBits(state_.ids[slot]);
    GrainMotion motion = state_.motions[slot];
    motion.slack = 0.0f;  // follows from the list, not from the physics
    hash += hashBits(hashBits(id, state_.grains[slot]), motion);
  }
  forContacts([&](const Contact& c) {
    std::uint32_t a = state_.ids[c.lowerSlot], b = state_.ids[c.upperSlot];
    float sign = 1.0f;
    if (a > b) {
      std::swap(a, b);
      sign = -1.0f;
    }
    std::uint64_t h = mixBits(std::uint64_t{a} << 32 | b);
    for (int axis = 0; axis < 3; ++axis) {
      h = hashBits(h, sign * c.group.tangential[axis][c.lane] + 0.0f);
      h = hashBits(h, sign * c.group.rolling[axis][c.lane] + 0.0f);
    }
    h = hashBits(h, c.group.stiffness[c.lane]);
    hash += state_.keepsDents ? hashBits(h, c.dent) : h;
  });
  return stones_.empty() ? hash : hash + stones_.stateHash();
}

GrainSet FastKernel::store() const {
  GrainSet set;
  set.domain = domain_;
  set.position.resize(size());
  set.velocity.resize(size());
  set.spin.resize(size());
  set.radius.resize(size());
  set.frozen.resize(size());
  if (!state_.soils.empty()) set.soil.resize(size());
  for (std::uint32_t slot = 0; slot < size(); ++slot) {
    const GrainSample s = sample(slot);
    set.position[s.id] = s.position;
    set.velocity[s.id] = s.velocity;
    set.spin[s.id] = s.spin;
    set.radius[s.id] = s.radius;
    set.frozen[s.id] = state_.motions[slot].moves == fast::kHeld;
    if (!state_.soils.empty()) set.soil[s.id] = s.soil;
  }
  stones_.store(set);
  forContacts([&](const Contact& c) {
    if (!(c.group.stiffness[c.lane] > 0.0f)) return;
    const double radius =
        reducedRadius(static_cast<double>(c.lower.radius), static_cast<double>(c.upper.radius));
    ContactMemory memory;
    memory.a = state_.ids[c.lowerSlot];
    memory.b = state_.ids[c.upperSlot];
    for (int axis = 0; axis < 3; ++axis) {
      memory.tangentialForce[axis] = c.group.tangential[axis][c.lane];
      memory.rollingMoment[axis] = radius * static_cast<double>(c.group.rolling[axis][c.lane]);
    }
    memory.tangentialStiffness = c.group.stiffness[c.lane];
    memory.dent = c.dent;
    set.contacts.push_back(memory);
  });
  return set;
}

}  // namespace holdground
