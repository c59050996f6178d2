#include "solver/kernel_reference/reference_kernel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "solver/contact/sphere_pair.hpp"
#include "solver/core/errors.hpp"
#include "solver/state/exposure.hpp"

namespace holdground {
namespace {

/// Skin of a grain at rest, and the most any grain gets, over the smallest radius. Narrow skins
/// mean short lists, wide ones few rebuilds; these are near the flat optimum of a dragged bed.
constexpr double kSmallestSkin = 0.02;
constexpr double kLargestSkin = 0.2;
/// A moving grain's skin lasts about this many steps.
constexpr double kSkinSteps = 60.0;
constexpr std::size_t kPairsAhead = 8;  // between asking for two grains and using them

double smallestRadius(const GrainSet& set) {
  return *std::min_element(set.radius.begin(), set.radius.end());
}

/// Largest distance at which two grains can be listed: the edge of a cell.
double largestReach(const GrainSet& set, const SoilLaws& laws) {
  const double largest = *std::max_element(set.radius.begin(), set.radius.end());
  return 2.0 * (largest * (1.0 + laws.reachShare()) + kLargestSkin * smallestRadius(set));
}

void check(const GrainSet& set, const SoilLaws& laws) {
  if (set.size() == 0) throw InputError("a bed without grains cannot be run");
  const double narrowest = 2.0 * largestReach(set, laws);
  const double width = std::min(set.domain.lengthX, set.domain.lengthY);
  if (width < narrowest)
    throw InputError(fmt::format(
        "a bed {:.4g} m wide is too narrow for its largest grain; {:.4g} m is the least", width,
        narrowest));
}

CellGrid gridFor(const GrainSet& set, const SoilLaws& laws) {
  check(set, laws);
  double lower = set.domain.floorZ, upper = set.domain.ceilingZ;
  for (const Vec3& position : set.position) {
    lower = std::min(lower, position.z());
    upper = std::max(upper, position.z());
  }
  return CellGrid(set.domain, lower, upper, largestReach(set, laws), set.size());
}

std::vector<double> netGravities(const KernelSettings& settings) {
  std::vector<double> result;
  for (const GrainMaterial& m : settings.soils())
    result.push_back(settings.gravity * (1.0 - settings.water.density / m.density));
  return result;
}

}  // namespace

ReferenceKernel::ReferenceKernel(const GrainSet& set, const KernelSettings& settings)
    : domain_(set.domain),
      settings_(settings),
      plane_(set.domain),
      laws_(settings.soils()),
      netGravity_(netGravities(settings)),
      dragFactor_(0.5 * settings.water.density * settings.water.dragCoefficient * kPi),
      grid_(gridFor(set, laws_)),
      grains_(set.size()),
      motions_(set.size()),
      loads_(set.size()),
      blocks_(cutIntoBlocks(set.size())) {
  const std::vector<GrainMaterial> soils = settings.soils();
  set.checkSoils(soils.size());
  smallestSkin_ = kSmallestSkin * smallestRadius(set);
  largestSkin_ = kLargestSkin * smallestRadius(set);
  for (std::uint32_t id = 0; id < set.size(); ++id) {
    const double radius = set.radius[id];
    const std::uint8_t soil = set.soilOf(id);
    const double mass = soils[soil].density * 4.0 / 3.0 * kPi * radius * radius * radius;
    Grain& grain = grains_[id];
    grain = {set.position[id],
             radius,
             set.velocity[id],
             set.frozen[id] ? 0.0 : 1.0 / mass,
             set.spin[id],
             id,
             0,
             soil};
    if (grain.frozen()) grain.velocity = grain.spin = Vec3::Zero();
    plane_.wrap(grain.position);
    motions_[id] = {grain.velocity, grain.spin, grain.position, 0.0};
  }
  loadStones(set);
  startPotential_ = potential();
  rebuild(RememberedContacts(set));
}

/// Where a stone's sphere is and how it moves.
void ReferenceKernel::place(const Stones::SphereMotion& motion, Grain& grain) const {
  grain.position = motion.position;
  for (int axis = 0; axis < 2; ++axis)  // a stone may have gone round many times
    grain.position[axis] -=
        plane_.length[axis] * std::round(grain.position[axis] / plane_.length[axis]);
  plane_.wrap(grain.position);
  grain.velocity = motion.velocity;
  grain.spin = motion.spin;
}

void ReferenceKernel::loadStones(const GrainSet& set) {
  stones_ = Stones(set, {settings_.material.density, netGravity_[0], dragFactor_});
  for (std::size_t s = 0; s < stones_.size(); ++s)
    for (std::uint32_t k = 0; k < stones_.sphereCount(s); ++k) {
      Grain& grain = grains_[stones_.firstSphere(s) + k];
      grain.inverseMass = stones_.inverseMass(s);
      place(stones_.pose(s).sphere(k), grain);
      motions_[grain.id].listPosition = grain.position;
    }
}

bool ReferenceKernel::updateNeighbours() {
  const bool outgrown = std::any_of(blocks_.begin(), blocks_.end(),
                                    [](const Block& block) { return block.outgrown; });
  if (outgrown) rebuild(RememberedContacts(blocks_, grains_));
  if (dragFactor_ > 0.0 && steps_ % kStepsPerExposure == 0) findExposed();
  return outgrown;
}

void ReferenceKernel::findExposed() {
  std::vector<Vec3> positions;
  std::vector<double> radii;
  for (const Grain& grain : grains_) {
    positions.push_back(grain.position);
    radii.push_back(grain.radius);
  }
  const std::vector<std::uint8_t> exposed = exposedGrains(domain_, positions, radii);
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) grains_[slot].exposed = exposed[slot];
  if (stones_.empty()) return;
  std::vector<std::uint8_t> byId(grains_.size());
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) byId[grains_[slot].id] = exposed[slot];
  stones_.setExposed(byId);
}

void ReferenceKernel::rebuild(const RememberedContacts& remembered) {
  std::vector<Vec3> positions(grains_.size());
  for (std::size_t slot = 0; slot < grains_.size(); ++slot)
    positions[slot] = grains_[slot].position;
  const std::vector<std::uint32_t> order = grid_.sort(positions);

  const std::vector<Grain> oldGrains = grains_;
  const std::vector<GrainMotion> oldMotions = motions_;
  const double lasting = kSkinSteps * settings_.timeStep;
#pragma omp parallel for schedule(static)
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) {
    grains_[slot] = oldGrains[order[slot]];
    motions_[slot] = oldMotions[order[slot]];
    motions_[slot].listPosition = grains_[slot].position;
    motions_[slot].skin =
        std::min(smallestSkin_ + grains_[slot].velocity.norm() * lasting, largestSkin_);
  }
  listPairs(grid_, plane_, {motions_, laws_.reachShare(), stones_.stoneOfSphere()}, remembered,
            grains_, blocks_);
  if (stones_.empty()) return;
  slotOfId_.resize(grains_.size());
  for (std::uint32_t slot = 0; slot < grains_.size(); ++slot) slotOfId_[grains_[slot].id] = slot;
}

void ReferenceKernel::addForce(std::uint32_t slot, const Vec3& force, const Vec3& torque) {
  loads_[slot].force += force;
  loads_[slot].torque += torque;
}

void ReferenceKernel::advance() {
#pragma omp parallel for schedule(static)
  for (std::size_t k = 0; k < blocks_.size(); ++k) addPairForces(blocks_[k]);
#pragma omp parallel for schedule(static)
  for (std::size_t k = 0; k < blocks_.size(); ++k) integrate(blocks_[k]);
  if (!stones_.empty()) moveStones();
  ++steps_;
  for (const Block& block : blocks_)
    if (block.lostSlot != Block::kNone) reportLost(block.lostSlot);
}

/// Asks for the grains of a later pair; without it half of the time is spent waiting for memory.
void ReferenceKernel::prefetch(const Pair& pair) const {
  for (const Grain* grain : {&grains_[pair.i], &grains_[pair.j]}) {
    __builtin_prefetch(&grain->position);
    __builtin_prefetch(&grain->spin);
  }
}

void ReferenceKernel::addPairForces(Block& block) {
  ContactDissipation booked, elsewhere;
  for (std::size_t k = 0; k < block.pairs.size(); ++k) {
    if (k + kPairsAhead < block.pairs.size()) prefetch(block.pairs[k + kPairsAhead]);
    Pair& pair = block.pairs[k];
    const ContactLaw& law = lawOf(pair);
    const Grain& i = grains_[pair.i];
    const Grain& j = grains_[pair.j];
    ContactDissipation& dissipation = block.books(pair) ? booked : elsewhere;
    const Vec3 d = plane_.nearestImage(i.position - j.position);
    const double reach = i.radius + j.radius;
    const double squared = d.squaredNorm();
    const bool touching = squared < reach * reach;
    if (!touching && pair.history.tangentialStiffness > 0.0)
      endContact(law, pair.constants.reducedRadius, pair.history, dissipation);
    const double attracting = reach + attractionGap(law, pair.constants.reducedRadius);
    if (squared >= attracting * attracting) continue;
    const double distance = std::sqrt(squared);
    const ContactGeometry geometry = pairGeometry(d, distance, reach, pair.constants);
    const LeverArms arm = leverArms(distance, i.radius, j.radius);
    ContactForce contact;
    if (touching) {
      const ContactMotion motion =
          pairMotion({i.velocity, i.spin}, {j.velocity, j.spin}, geometry.normal, arm);
      contact =
          evaluateContact(law, geometry, motion, settings_.timeStep, pair.history, dissipation);
    } else {
      contact.normal = -attraction(law.pullOff, geometry.reducedRadius, geometry.overlap);
    }
    const PairLoad load = pairLoad(contact, geometry.normal, arm);
    if (block.owns(pair.i)) {
      loads_[pair.i].force += load.force;
      loads_[pair.i].torque += load.torqueI;
    }
    if (block.owns(pair.j)) {
      loads_[pair.j].force -= load.force;
      loads_[pair.j].torque += load.torqueJ;
    }
  }
  block.dissipation += booked;
}

void ReferenceKernel::integrate(Block& block) {
  const double dt = settings_.timeStep;
  for (std::uint32_t slot = block.begin; slot < block.end; ++slot) {
    Grain& grain = grains_[slot];
    if (stones_.isOfStone(grain.id)) continue;
    const GrainLoad load = std::exchange(loads_[slot], GrainLoad{});
    if (grain.frozen()) continue;
    GrainMotion& motion = motions_[slot];
    const Vec3 before = motion.halfVelocity;
    Vec3 acceleration = load.force * grain.inverseMass - Vec3(0.0, 0.0, netGravity_[grain.soil]);
    Vec3 after = before + dt * acceleration;
    if (grain.exposed && dragFactor_ > 0.0) {
      // Linearised at the speed without drag and solved for the end of the step: never reverses it.
      const double rate = dragFactor_ * grain.radius * grain.radius * after.norm();
      const Vec3 undragged = after;
      after /= 1.0 + dt * rate * grain.inverseMass;
      block.waterDrag += (undragged - after).dot(0.5 * (before + after)) / grain.inverseMass;
      acceleration = (after - before) / dt;
    }
    // I = 2/5 m R^2 of a solid sphere.
    const Vec3 spinUp = load.torque * (2.5 * grain.inverseMass / (grain.radius * grain.radius));
    motion.halfVelocity = after;
    motion.halfSpin += dt * spinUp;
    grain.velocity = after + 0.5 * dt * acceleration;
    grain.spin = motion.halfSpin + 0.5 * dt * spinUp;
    grain.position += dt * after;
    plane_.wrap(grain.position);
    watch(slot, block);
  }
}

/// Whether a grain that has moved outgrows the list, or left the domain.
void ReferenceKernel::watch(std::uint32_t slot, Block& block) const {
  const Grain& grain = grains_[slot];
  const GrainMotion& motion = motions_[slot];
  const Vec3 moved = plane_.nearestImage(grain.position - motion.listPosition);
  if (moved.squaredNorm() > motion.skin * motion.skin) block.outgrown = true;
  const bool inside = grain.position.z() > domain_.floorZ &&
                      grain.position.z() < domain_.ceilingZ &&
                      std::abs(grain.position.x()) <= plane_.half.x() &&
                      std::abs(grain.position.y()) <= plane_.half.y();
  if (!inside) block.lostSlot = slot;  // NaN included
}

void ReferenceKernel::moveStones() {
#pragma omp parallel for schedule(static)
  for (std::size_t s = 0; s < stones_.size(); ++s) {
    std::array<BodyLoad, Stone::kMostSpheres> loads;
    const std::uint32_t first = stones_.firstSphere(s), count = stones_.sphereCount(s);
    for (std::uint32_t k = 0; k < count; ++k) {
      const GrainLoad load = std::exchange(loads_[slotOfId_[first + k]], GrainLoad{});
      loads[k] = {load.force, load.torque};
    }
    stones_.advance(s, {loads.data(), count}, settings_.timeStep);
    const Stones::Pose pose = stones_.pose(s);
    for (std::uint32_t k = 0; k < count; ++k) place(pose.sphere(k), grains_[slotOfId_[first + k]]);
  }
  // Spheres of one stone may lie in several blocks.
  for (Block& block : blocks_)
    for (std::uint32_t slot = block.begin; slot < block.end; ++slot)
      if (stones_.isOfStone(grains_[slot].id)) watch(slot, block);
}

void ReferenceKernel::reportLost(std::uint32_t slot) const {
  const Grain& grain = grains_[slot];
  throw SimulationError(
      fmt::format("grain {} left the bed at ({:.4g}, {:.4g}, {:.4g}) m, {:.6g} s after the start",
                  grain.id, grain.position.x(), grain.position.y(), grain.position.z(),
                  static_cast<double>(steps_) * settings_.timeStep));
}

}  // namespace holdground
