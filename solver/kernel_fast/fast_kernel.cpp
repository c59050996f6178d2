#include "solver/kernel_fast/fast_kernel.hpp"

#include <fmt/format.h>

#include <omp.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <bit>
#include <cmath>
#include <limits>
#include <numeric>

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"
#include "solver/kernel_fast/pass_constants.hpp"
#include "solver/state/exposure.hpp"
#include "solver/state/overlap_statistics.hpp"

namespace holdground {

using fast::Block;
using fast::ForceSum;
using fast::GrainMotion;
using fast::kLanes;
using fast::PackedGrain;
using fast::PairGroup;

namespace {

constexpr double kSpan = 4294967296.0;  // domain units along x and y
// Slack and skins: lengths over the smallest radius, times in steps.
constexpr float kBaseSlack = 0.01f;
constexpr float kSlackSteps = 150.0f;
constexpr float kLeastSlackSteps = 30.0f;
constexpr float kBaseSkin = 0.1f;
constexpr float kSkinSteps = 300.0f;
constexpr float kLargestSkin = 0.7f;

std::int32_t toUnits(double metres, double unit) {
  return static_cast<std::int32_t>(
      static_cast<std::uint32_t>(static_cast<std::int64_t>(std::llround(metres / unit))));
}

/// The whole number next to x, which may have gone round many times, modulo 2^32: adding 1.5 2^52
/// leaves it in the low bits.
std::int32_t wrapped(double x) {
  return static_cast<std::int32_t>(std::bit_cast<std::uint64_t>(x + 6755399441055744.0));
}

}  // namespace

FastKernel::FastKernel(const GrainSet& grains, const KernelSettings& settings)
    : domain_(grains.domain), settings_(settings), laws_(settings.soils()) {
  const std::vector<GrainMaterial> soils = settings.soils();
  grains.checkSoils(soils.size());
  state_.unit[0] = static_cast<float>(domain_.lengthX / kSpan);
  state_.unit[1] = static_cast<float>(domain_.lengthY / kSpan);
  state_.unit[2] = static_cast<float>(2.0 * (domain_.ceilingZ - domain_.floorZ) / kSpan);
  unitsPerMetre_ = {kSpan / domain_.lengthX, kSpan / domain_.lengthY,
                    0.5 * kSpan / (domain_.ceilingZ - domain_.floorZ)};
  middle_ = {0.0, 0.0, 0.5 * (domain_.ceilingZ + domain_.floorZ)};

  const std::size_t count = grains.size();
  if (count == 0 || count > fast::kLargestCount)
    throw InputError(fmt::format("bed: {} grains; allowed 1 to {}", count, fast::kLargestCount));
  state_.grains.resize(count + 2);
  state_.motions.resize(count);
  state_.ids.resize(count);
  const Vec3 unit(domain_.lengthX / kSpan, domain_.lengthY / kSpan,
                  2.0 * (domain_.ceilingZ - domain_.floorZ) / kSpan);
  const double middle = 0.5 * (domain_.ceilingZ + domain_.floorZ);
  float smallest = std::numeric_limits<float>::max();
  for (std::size_t k = 0; k < count; ++k) {
    const double radius = grains.radius[k];
    const double density = soils[grains.soilOf(k)].density;
    const double mass = 4.0 / 3.0 * kPi * radius * radius * radius * density;
    const bool frozen = grains.frozen[k] != 0;
    PackedGrain& g = state_.grains[k];
    GrainMotion& m = state_.motions[k];
    g.position[0] = toUnits(grains.position[k].x(), unit.x());
    g.position[1] = toUnits(grains.position[k].y(), unit.y());
    g.position[2] = toUnits(grains.position[k].z() - middle, unit.z());
    g.radius = g.radiusAgain = static_cast<float>(radius);
    g.inverseMass = frozen ? 0.0f : static_cast<float>(1.0 / mass);
    g.inverseInertia = frozen ? 0.0f : static_cast<float>(2.5 / (mass * radius * radius));
    m = GrainMotion{};
    m.moves = frozen ? fast::kHeld : fast::kFree;
    for (int axis = 0; axis < 3; ++axis) {
      g.velocity[axis] = m.velocity[axis] = static_cast<float>(grains.velocity[k][axis]);
      g.spin[axis] = m.spin[axis] = static_cast<float>(grains.spin[k][axis]);
      g.radiusSpin[axis] = g.spin[axis] * g.radius;
    }
    state_.ids[k] = static_cast<std::uint32_t>(k);
    if (soils.size() > 1) state_.soils.push_back(grains.soilOf(k));
    smallest = std::min(smallest, g.radius);
  }
  // Padding pairs point at two specks that never touch.
  for (std::size_t k = count; k < count + 2; ++k) {
    state_.grains[k] = PackedGrain{};
    state_.grains[k].inverseMass = 1.0f;
    state_.grains[k].radius = state_.grains[k].radiusAgain = 1e-6f;
    state_.grains[k].position[2] = k == count ? INT32_MIN / 2 : INT32_MAX / 2;
  }

  const double dt = settings.timeStep;
  for (std::size_t k = 0; k < laws_.size(); ++k)
    constants_.push_back(fast::passConstants(laws_[k], state_.unit, dt, netGravity(0)));
  state_.keepsDents = laws_.keepDents();
  listSettings_.baseSlack = kBaseSlack * smallest;
  listSettings_.slackTime = kSlackSteps * static_cast<float>(dt);
  listSettings_.leastSlackTime = kLeastSlackSteps * static_cast<float>(dt);
  listSettings_.baseSkin = kBaseSkin * smallest;
  listSettings_.maximumSkin = kLargestSkin * smallest;
  state_.stretch = static_cast<float>(1.0 + laws_.reachShare());
  listSettings_.skinTime = kSkinSteps * static_cast<float>(dt);
  dragFactor_ =
      static_cast<float>(0.5 * settings.water.density * settings.water.dragCoefficient * kPi);
  loadStones(grains);
  loadHistory(grains.contacts);
}

/// Where a stone's sphere is and how it moves.
void FastKernel::place(const Stones::SphereMotion& motion, PackedGrain& grain) const {
  for (int axis = 0; axis < 3; ++axis) {
    grain.position[axis] = wrapped((motion.position[axis] - middle_[axis]) * unitsPerMetre_[axis]);
    grain.velocity[axis] = static_cast<float>(motion.velocity[axis]);
    grain.spin[axis] = static_cast<float>(motion.spin[axis]);
    grain.radiusSpin[axis] = grain.spin[axis] * grain.radius;
  }
}

void FastKernel::loadStones(const GrainSet& grains) {
  stones_ = Stones(grains, {settings_.material.density, constants_[0].gravity, dragFactor_});
  if (stones_.empty()) return;
  state_.stones = stones_.stoneOfSphere();
  stoneLoads_.resize(size());
  for (std::size_t s = 0; s < stones_.size(); ++s)
    for (std::uint32_t k = 0; k < stones_.sphereCount(s); ++k) {
      const std::uint32_t id = stones_.firstSphere(s) + k;  // also its slot: nothing is sorted yet
      state_.motions[id].moves = fast::kOfStone;
      state_.grains[id].inverseMass = static_cast<float>(stones_.inverseMass(s));
      state_.grains[id].inverseInertia = 0.0f;
      place(stones_.pose(s).sphere(k), state_.grains[id]);
    }
}

/// Sets aside what acts on the block's spheres of stones, until all blocks are summed.
void FastKernel::keepStoneLoads(const Block& block, const ForceSum* sums) {
  for (std::uint32_t slot = block.first; slot < block.end; ++slot)
    if (state_.motions[slot].moves == fast::kOfStone) stoneLoads_[slot] = sums[slot - block.first];
}

void FastKernel::prefetchStone(std::size_t stone) const {
  stones_.prefetch(stone);
  const std::uint32_t* slots = slotOfId_.data() + stones_.firstSphere(stone);
  for (std::uint32_t k = 0; k < stones_.sphereCount(stone); ++k) {
    __builtin_prefetch(&stoneLoads_[slots[k]]);
    __builtin_prefetch(&next_[slots[k]], 1);
    __builtin_prefetch(&state_.motions[slots[k]].slack, 1);
  }
}

void FastKernel::moveStones() {
  constexpr std::size_t kAhead = 4;  // stones between the prefetch and its use
#pragma omp parallel for schedule(static)
  for (std::size_t at = 0; at < stones_.size(); ++at) {
    const std::size_t s = stoneOrder_[at];
    if (at + kAhead < stones_.size()) prefetchStone(stoneOrder_[at + kAhead]);
    std::array<BodyLoad, Stone::kMostSpheres> loads;
    const std::uint32_t* slots = slotOfId_.data() + stones_.firstSphere(s);
    const std::uint32_t count = stones_.sphereCount(s);
    for (std::uint32_t k = 0; k < count; ++k) {
      const ForceSum& sum = stoneLoads_[slots[k]];
      loads[k] = {Vec3(sum.force[0], sum.force[1], sum.force[2]),
                  Vec3(sum.torque[0], sum.torque[1], sum.torque[2])};
    }
    stones_.advance(s, {loads.data(), count}, settings_.timeStep);
    const Stones::Pose pose = stones_.pose(s);
    for (std::uint32_t k = 0; k < count; ++k) {
      const PackedGrain& before = state_.grains[slots[k]];
      PackedGrain& after = next_[slots[k]];
      place(pose.sphere(k), after);
      float way = 0.0f;
      for (int axis = 0; axis < 3; ++axis) {
        // As of unsigned numbers, so that a way over the side is a short one.
        const auto units =
            static_cast<std::int32_t>(static_cast<std::uint32_t>(after.position[axis]) -
                                      static_cast<std::uint32_t>(before.position[axis]));
        way += std::abs(static_cast<float>(units)) * state_.unit[axis];
      }
      float& slack = state_.motions[slots[k]].slack;
      slack -= way;
      if (!(slack >= 0.0f))
        std::atomic_ref(state_.blocks[blockOfSlot_[slots[k]]].outOfDate)
            .store(true, std::memory_order_relaxed);
    }
  }
}

void FastKernel::loadHistory(const std::vector<ContactMemory>& contacts) {
  // One block that lists the known contacts; the first rebuild takes them over.
  Block all;
  all.first = 0;
  all.end = static_cast<std::uint32_t>(size());
  const auto count = static_cast<std::uint32_t>(contacts.size());
  all.runs = {{0, 0, count, count}};  // laws come with the first list
  const std::size_t groups = (contacts.size() + kLanes - 1) / kLanes;
  all.lower.resize(groups * kLanes);
  all.upper.resize(groups * kLanes);
  all.history.resize(groups, PairGroup{});
  if (state_.keepsDents) all.dents.resize(groups * kLanes, 0.0f);
  for (std::size_t p = 0; p < contacts.size(); ++p) {
    const ContactMemory& c = contacts[p];
    const double sign = c.a < c.b ? 1.0 : -1.0;
    all.lower[p] = std::min(c.a, c.b) * fast::kSlotBytes;
    all.upper[p] = std::max(c.a, c.b) * fast::kSlotBytes;
    const double radius = reducedRadius(static_cast<double>(state_.grains[c.a].radius),
                                        static_cast<double>(state_.grains[c.b].radius));
    PairGroup& group = all.history[p / kLanes];
    const std::size_t lane = p % kLanes;
    // Grains that settled with friction or rolling resistance and lost it keep no spring of it.
    const ContactLaw& law = laws_[state_.lawOf(c.a, c.b)];
    for (int axis = 0; axis < 3; ++axis) {
      if (!law.isSmooth())
        group.tangential[axis][lane] = static_cast<float>(sign * c.tangentialForce[axis]);
      if (law.isRolling())
        group.rolling[axis][lane] = static_cast<float>(sign * c.rollingMoment[axis] / radius);
    }
    group.stiffness[lane] = static_cast<float>(c.tangentialStiffness);
    if (state_.keepsDents) all.dents[p] = static_cast<float>(c.dent);
  }
  state_.blocks = {std::move(all)};
  state_.blocks.front().outOfDate = true;
}

bool FastKernel::updateNeighbours() {
  if (dragFactor_ > 0.0f && steps_ % kStepsPerExposure == 0) findExposed();
  bool outOfDate = false;
  for (const Block& block : state_.blocks) {
    if (!block.outOfDate) continue;
    outOfDate = true;
    checkGrains(block.first, block.end);
  }
  if (!outOfDate || fast::redrawPairList(state_, listSettings_)) return false;
  checkGrains(0, size());
  fast::rebuildPairList(state_, listSettings_);
  fitBlocks();
  return true;
}

void FastKernel::fitBlocks() {
  next_ = state_.grains;  // what never changes of a grain, and those that are held
  added_.resize(size());
  isLoaded_.assign(state_.blocks.size(), 0);
  blockOfSlot_.resize(size());
  if (!stones_.empty()) {
    slotOfId_.resize(size());
    for (std::uint32_t slot = 0; slot < size(); ++slot) slotOfId_[state_.ids[slot]] = slot;
    stoneOrder_.resize(stones_.size());
    std::iota(stoneOrder_.begin(), stoneOrder_.end(), 0u);
    const auto firstSlot = [&](std::uint32_t s) { return slotOfId_[stones_.firstSphere(s)]; };
    std::sort(stoneOrder_.begin(), stoneOrder_.end(),
              [&](std::uint32_t a, std::uint32_t b) { return firstSlot(a) < firstSlot(b); });
  }
  for (std::size_t b = 0; b < state_.blocks.size(); ++b)
    std::fill(blockOfSlot_.begin() + state_.blocks[b].first,
              blockOfSlot_.begin() + state_.blocks[b].end, static_cast<std::uint32_t>(b));
  moreWeight_.resize(state_.soils.size());
  for (std::size_t slot = 0; slot < moreWeight_.size(); ++slot) {
    const double more = netGravity(state_.soils[slot]) - netGravity(0);
    const double inverseMass = static_cast<double>(state_.grains[slot].inverseMass);
    moreWeight_[slot] = inverseMass > 0.0 ? static_cast<float>(more / inverseMass) : 0.0f;
  }
}

double FastKernel::netGravity(std::size_t soil) const {
  const GrainMaterial& m = soil == 0 ? settings_.material : settings_.lowerSoils[soil - 1];
  return settings_.gravity * (1.0 - settings_.water.density / m.density);
}

void FastKernel::checkGrains(std::size_t first, std::size_t end) const {
  for (std::size_t slot = first; slot < end; ++slot) {
    const PackedGrain& g = state_.grains[slot];
    const float sum =
        g.velocity[0] + g.velocity[1] + g.velocity[2] + g.spin[0] + g.spin[1] + g.spin[2];
    const double z = positionOf(g).z();
    if (std::isfinite(sum) && z > domain_.floorZ && z < domain_.ceilingZ) continue;
    throw SimulationError(fmt::format(
        "grain {} left the bed or flew apart: height {:.4g} m (allowed {:.4g} to {:.4g}), speed "
        "{:.4g} m/s",
        state_.ids[slot], z, domain_.floorZ, domain_.ceilingZ,
        std::hypot(static_cast<double>(g.velocity[0]), static_cast<double>(g.velocity[1]),
                   static_cast<double>(g.velocity[2]))));
  }
}

void FastKernel::addForce(std::uint32_t slot, const Vec3& force, const Vec3& torque) {
  ForceSum& sum = added_[slot];
  for (int axis = 0; axis < 3; ++axis) {
    sum.force[axis] += static_cast<float>(force[axis]);
    sum.torque[axis] += static_cast<float>(torque[axis]);
  }
  std::atomic_ref(isLoaded_[blockOfSlot_[slot]]).store(1, std::memory_order_relaxed);
}

void FastKernel::findExposed() {
  std::vector<Vec3> positions(size());
  std::vector<double> radii(size());
  for (std::size_t slot = 0; slot < size(); ++slot) {
    positions[slot] = positionOf(state_.grains[slot]);
    radii[slot] = state_.grains[slot].radius;
  }
  const std::vector<std::uint8_t> exposed = exposedGrains(domain_, positions, radii);
  if (!stones_.empty()) {
    std::vector<std::uint8_t> byId(size());
    for (std::size_t slot = 0; slot < size(); ++slot) byId[state_.ids[slot]] = exposed[slot];
    stones_.setExposed(byId);
  }
  for (std::size_t slot = 0; slot < size(); ++slot) {
    const PackedGrain& g = state_.grains[slot];
    state_.motions[slot].dragPerSpeed =
        exposed[slot] != 0 ? dragFactor_ * g.radius * g.radius * g.inverseMass : 0.0f;
  }
}

void FastKernel::advance() {
  ++steps_;
  scratch_.resize(static_cast<std::size_t>(omp_get_max_threads()));
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < state_.blocks.size(); ++b)
    advanceBlock(b, scratch_[static_cast<std::size_t>(omp_get_thread_num())]);
  if (!stones_.empty()) moveStones();
  state_.grains.swap(next_);
}

/// Forces and motion of one block while its grains are at hand. Other blocks still need them as
/// they are, so those of the next step are written elsewhere.
void FastKernel::advanceBlock(std::size_t b, fast::AlignedVector<ForceSum>& sums) {
  Block& block = state_.blocks[b];
  sums.assign(block.size() + 1, ForceSum{});
  if (isLoaded_[b] != 0) {
    const auto added = added_.begin() + block.first;
    std::copy_n(added, block.size(), sums.begin());
    std::fill_n(added, block.size(), ForceSum{});
    isLoaded_[b] = 0;
  }
  const fast::BlockPasses& passes = fast::blockPasses();
  for (std::size_t k = 0; k < (moreWeight_.empty() ? 0 : block.size()); ++k)
    sums[k].force[2] -= moreWeight_[block.first + k];
  for (const fast::PairRun& run : block.runs) {
    const ContactLaw& law = laws_[run.law];
    const auto& ofGrip = law.isSmooth()    ? passes.smoothPairForces
                         : law.isRolling() ? passes.pairForces
                                           : passes.slidingPairForces;
    const auto pairForces = ofGrip[law.dents.act() ? 1 : 0];
    pairForces(constants_[run.law], state_.grains.data(), block, run, sums.data());
  }
  if (!stones_.empty()) keepStoneLoads(block, sums.data());
  passes.integrate(constants_[0], state_.grains.data(), next_.data(), state_.motions.data(), block,
                   sums.data());
}

Vec3 FastKernel::positionOf(const PackedGrain& g) const {
  return {g.position[0] * (domain_.lengthX / kSpan), g.position[1] * (domain_.lengthY / kSpan),
          g.position[2] * (2.0 * (domain_.ceilingZ - domain_.floorZ) / kSpan) +
              0.5 * (domain_.ceilingZ + domain_.floorZ)};
}

GrainSample FastKernel::sample(std::uint32_t slot) const {
  const PackedGrain& g = state_.grains[slot];
  return {positionOf(g),
          {g.velocity[0], g.velocity[1], g.velocity[2]},
          {g.spin[0], g.spin[1], g.spin[2]},
          g.radius,
          g.inverseMass,
          state_.ids[slot],
          soilOf(slot)};
}

void FastKernel::collectSlotsInBox(const Vec3& lower, const Vec3& upper,
                                   std::vector<std::uint32_t>& slots) const {
  slots.clear();
  const Vec3 centre = 0.5 * (lower + upper), halfSize = 0.5 * (upper - lower);
  for (std::size_t slot = 0; slot < size(); ++slot) {
    Vec3 d = positionOf(state_.grains[slot]) - centre;
    d.x() -= domain_.lengthX * std::round(d.x() / domain_.lengthX);
    d.y() -= domain_.lengthY * std::round(d.y() / domain_.lengthY);
    if (std::abs(d.x()) <= halfSize.x() && std::abs(d.y()) <= halfSize.y() &&
        std::abs(d.z()) <= halfSize.z())
      slots.push_back(static_cast<std::uint32_t>(slot));
  }
}

}  // namespace holdground
