#include "solver/kernel_fast/pair_list.hpp"

#include <algorithm>
#include <cmath>

#include "solver/kernel_fast/cell_grid.hpp"

namespace holdground::fast {

namespace {

/// One contact's history on its way from the old list to the new one.
struct Carried {
  std::uint32_t lower, upper;  ///< new slots
  float tangential[3], rolling[3], stiffness;
};

/// Takes the history of touching pairs out of the old blocks, sorted by new lower slot, with the
/// first entry of each slot in `starts`. Springs change sign when their two slots swap order.
std::vector<Carried> collectHistory(const PackedState& state,
                                    const std::vector<std::uint32_t>& newSlot,
                                    std::vector<std::uint32_t>& starts) {
  std::vector<Carried> found;
  for (const Block& block : state.blocks)
    for (std::size_t p = 0; p < block.pairs; ++p) {
      const PairGroup& group = block.history[p / kLanes];
      const std::size_t lane = p % kLanes;
      const std::uint32_t lower = block.lower[p] / kSlotBytes, upper = block.upper[p] / kSlotBytes;
      if (!(group.stiffness[lane] > 0.0f) || lower < block.first) continue;
      Carried c{newSlot[lower], newSlot[upper], {}, {}, group.stiffness[lane]};
      const float sign = c.lower < c.upper ? 1.0f : -1.0f;
      for (int k = 0; k < 3; ++k) {
        c.tangential[k] = sign * group.tangential[k][lane];
        c.rolling[k] = sign * group.rolling[k][lane];
      }
      if (c.lower > c.upper) std::swap(c.lower, c.upper);
      found.push_back(c);
    }
  starts.assign(state.size() + 1, 0);
  for (const Carried& c : found) ++starts[c.lower + 1];
  for (std::size_t k = 0; k < state.size(); ++k) starts[k + 1] += starts[k];
  std::vector<Carried> sorted(found.size());
  std::vector<std::uint32_t> next(starts.begin(), starts.end() - 1);
  for (const Carried& c : found) sorted[next[c.lower]++] = c;
  return sorted;
}

void reorder(PackedState& state, const std::vector<std::uint32_t>& order) {
  const std::size_t count = order.size();
  AlignedVector<PackedGrain> grains(state.grains.size());
  AlignedVector<GrainMotion> motions(count);
  std::vector<std::uint32_t> ids(count);
  for (std::size_t k = 0; k < count; ++k) {
    grains[k] = state.grains[order[k]];
    motions[k] = state.motions[order[k]];
    ids[k] = state.ids[order[k]];
  }
  for (std::size_t k = count; k < state.grains.size(); ++k) grains[k] = state.grains[k];
  state.grains.swap(grains);
  state.motions.swap(motions);
  state.ids.swap(ids);
}

struct Offset {
  float x, y, z, squared;
};

Offset between(const PackedGrain& a, const PackedGrain& b, const float unit[3]) {
  float d[3];
  for (int k = 0; k < 3; ++k)
    d[k] = unit[k] *
           static_cast<float>(static_cast<std::int32_t>(static_cast<std::uint32_t>(a.position[k]) -
                                                        static_cast<std::uint32_t>(b.position[k])));
  return {d[0], d[1], d[2], d[0] * d[0] + d[1] * d[1] + d[2] * d[2]};
}

using Pair = std::pair<std::uint32_t, std::uint32_t>;  // slots, lower first

/// The pairs of one block, those that touch before those that merely might: groups of the second
/// kind are soon done with. Also finds which of the block's grains lie open to the water above.
std::vector<Pair> findPairs(PackedState& state, const Block& block, const CellGrid& grid,
                            const ListSettings& settings) {
  std::vector<Pair> touching, near;
  touching.reserve(3 * block.size());
  near.reserve(block.size());
  for (std::uint32_t i = block.first; i < block.end; ++i) {
    const PackedGrain& grain = state.grains[i];
    const float skin = state.motions[i].slack;
    const bool still = state.motions[i].moves == 0.0f;
    bool sheltered = false;
    const std::size_t beginTouching = touching.size(), beginNear = near.size();
    grid.forNeighbours(grain, [&](std::uint32_t j) {
      if (j == i) return;
      const PackedGrain& other = state.grains[j];
      const Offset d = between(other, grain, state.unit);
      const float sum = grain.radius + other.radius;
      const float within = sum + skin + state.motions[j].slack;
      if (d.squared >= within * within) return;
      sheltered |= d.z > 0.0f && 2.0f * d.z * d.z > d.squared;  // within 45 degrees of upright
      const bool inside = j >= block.first && j < block.end;
      if ((inside && j < i) || (still && state.motions[j].moves == 0.0f)) return;
      (d.squared < sum * sum ? touching : near).push_back(std::minmax(i, j));
    });
    // The order must not depend on how cells are walked.
    std::sort(touching.begin() + static_cast<std::ptrdiff_t>(beginTouching), touching.end());
    std::sort(near.begin() + static_cast<std::ptrdiff_t>(beginNear), near.end());
    state.motions[i].dragPerSpeed =
        sheltered || still ? 0.0f
                           : settings.dragFactor * grain.radius * grain.radius * grain.inverseMass;
  }
  touching.insert(touching.end(), near.begin(), near.end());
  return touching;
}

/// Gives a listed pair its constants and, if it was in contact, its history.
void setHistory(const PackedState& state, const Pair& pair, const std::vector<Carried>& history,
                const std::vector<std::uint32_t>& starts, PairGroup& group, std::size_t lane) {
  const PackedGrain& a = state.grains[pair.first];
  const PackedGrain& b = state.grains[pair.second];
  group.rootMass[lane] = 1.0f / std::sqrt(a.inverseMass + b.inverseMass);
  // 1/I_r = sum of 1/(I + m R^2) = sum of (5/7) 1/(m R^2).
  group.rootInertia[lane] = std::sqrt(
      1.4f / (a.inverseMass / (a.radius * a.radius) + b.inverseMass / (b.radius * b.radius)));
  for (std::uint32_t k = starts[pair.first]; k < starts[pair.first + 1]; ++k) {
    const Carried& c = history[k];
    if (c.upper != pair.second) continue;
    for (int axis = 0; axis < 3; ++axis) {
      group.tangential[axis][lane] = c.tangential[axis];
      group.rolling[axis][lane] = c.rolling[axis];
    }
    group.stiffness[lane] = c.stiffness;
  }
}

void listBlock(PackedState& state, Block& block, const CellGrid& grid, const ListSettings& settings,
               const std::vector<Carried>& history, const std::vector<std::uint32_t>& starts) {
  const std::vector<Pair> pairs = findPairs(state, block, grid, settings);
  block.pairs = pairs.size();
  const std::size_t groups = (block.pairs + kLanes - 1) / kLanes;
  const auto dummy = static_cast<std::uint32_t>(state.size());
  block.lower.assign(groups * kLanes, dummy * kSlotBytes);
  block.upper.assign(groups * kLanes, (dummy + 1) * kSlotBytes);
  block.history.assign(groups, PairGroup{});
  for (std::size_t p = 0; p < block.pairs; ++p) {
    block.lower[p] = pairs[p].first * kSlotBytes;
    block.upper[p] = pairs[p].second * kSlotBytes;
    setHistory(state, pairs[p], history, starts, block.history[p / kLanes], p % kLanes);
  }
  block.outOfDate = false;
}

std::vector<Block> cutBlocks(const PackedState& state, std::uint32_t target) {
  const auto count = static_cast<std::uint32_t>(state.size());
  // At least eight blocks where grains allow it, so that a few threads share small beds evenly.
  const std::uint32_t blocks =
      std::max({1u, (count + target - 1) / target, std::min(8u, count / 256u)});
  std::vector<Block> result(blocks);
  for (std::uint32_t b = 0; b < blocks; ++b) {
    result[b].first = static_cast<std::uint32_t>(std::uint64_t{count} * b / blocks);
    result[b].end = static_cast<std::uint32_t>(std::uint64_t{count} * (b + 1) / blocks);
  }
  return result;
}

}  // namespace

void rebuildPairList(PackedState& state, const ListSettings& settings) {
  const std::size_t count = state.size();
  float largestRadius = 0.0f, largestSkin = 0.0f;
  for (std::size_t k = 0; k < count; ++k) {
    const PackedGrain& g = state.grains[k];
    const float speed = std::sqrt(g.velocity[0] * g.velocity[0] + g.velocity[1] * g.velocity[1] +
                                  g.velocity[2] * g.velocity[2]);
    const float skin =
        std::min(settings.baseSkin + speed * settings.skinTime, settings.maximumSkin);
    state.motions[k].slack = skin;
    largestSkin = std::max(largestSkin, skin);
    largestRadius = std::max(largestRadius, g.radius);
  }
  CellGrid grid(state.grains.data(), count, state.unit, 2.0f * (largestRadius + largestSkin));
  const std::vector<std::uint32_t> order = grid.mortonOrder();
  std::vector<std::uint32_t> newSlot(count);
  for (std::size_t k = 0; k < count; ++k) newSlot[order[k]] = static_cast<std::uint32_t>(k);

  std::vector<std::uint32_t> starts;
  const std::vector<Carried> history = collectHistory(state, newSlot, starts);
  ContactLosses losses;
  double waterDrag = 0.0;
  for (const Block& block : state.blocks) {
    losses.friction += block.losses.friction;
    losses.normalDamping += block.losses.normalDamping;
    losses.tangentialDamping += block.losses.tangentialDamping;
    losses.rolling += block.losses.rolling;
    losses.historyArtefact += block.losses.historyArtefact;
    waterDrag += block.waterDrag;
  }
  reorder(state, order);
  grid.fill(state.grains.data(), count);
  state.blocks = cutBlocks(state, settings.targetBlock);
  state.blocks.front().losses = losses;
  state.blocks.front().waterDrag = waterDrag;
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < state.blocks.size(); ++b)
    listBlock(state, state.blocks[b], grid, settings, history, starts);
}

}  // namespace holdground::fast
