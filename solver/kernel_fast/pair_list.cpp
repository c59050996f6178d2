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

/// History of touching pairs by new lower slot: entries of slot k are
/// contacts[starts[k]] to contacts[starts[k + 1]].
struct History {
  std::vector<std::uint32_t> starts;
  std::vector<Carried> contacts;
};

/// Calls visit(pair index) for each pair of a block whose history this block answers for.
template <typename Visit>
void forOwnContacts(const Block& block, Visit&& visit) {
  for (std::size_t p = 0; p < block.pairs; ++p)
    if (block.history[p / kLanes].stiffness[p % kLanes] > 0.0f &&
        block.lower[p] / kSlotBytes >= block.first)
      visit(p);
}

/// What pair p remembers; springs change sign when its two slots swap order.
Carried carry(const Block& block, std::size_t p, std::uint32_t lower, std::uint32_t upper) {
  const PairGroup& group = block.history[p / kLanes];
  const std::size_t lane = p % kLanes;
  Carried c{std::min(lower, upper), std::max(lower, upper), {}, {}, group.stiffness[lane]};
  const float sign = lower < upper ? 1.0f : -1.0f;
  for (int k = 0; k < 3; ++k) {
    c.tangential[k] = sign * group.tangential[k][lane];
    c.rolling[k] = sign * group.rolling[k][lane];
  }
  return c;
}

void accumulate(std::vector<std::uint32_t>& starts) {
  for (std::size_t k = 1; k < starts.size(); ++k) starts[k] += starts[k - 1];
}

/// Where every slot keeps its place, each block's contacts are put in place by one thread.
History collectInPlace(const PackedState& state) {
  History history;
  history.starts.assign(state.size() + 1, 0);
  const std::size_t blocks = state.blocks.size();
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < blocks; ++b)
    forOwnContacts(state.blocks[b], [&](std::size_t p) {
      ++history.starts[state.blocks[b].lower[p] / kSlotBytes + 1];
    });
  accumulate(history.starts);
  history.contacts.resize(history.starts.back());
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < blocks; ++b) {
    const Block& block = state.blocks[b];
    std::vector<std::uint32_t> next(history.starts.begin() + block.first,
                                    history.starts.begin() + block.end);
    forOwnContacts(block, [&](std::size_t p) {
      const std::uint32_t lower = block.lower[p] / kSlotBytes;
      history.contacts[next[lower - block.first]++] =
          carry(block, p, lower, block.upper[p] / kSlotBytes);
    });
  }
  return history;
}

/// Where slots move, the contacts of all blocks are sorted into their new places.
History collectMoved(const PackedState& state, const std::vector<std::uint32_t>& newSlot) {
  std::vector<Carried> found;
  for (const Block& block : state.blocks)
    forOwnContacts(block, [&](std::size_t p) {
      found.push_back(carry(block, p, newSlot[block.lower[p] / kSlotBytes],
                            newSlot[block.upper[p] / kSlotBytes]));
    });
  History history;
  history.starts.assign(state.size() + 1, 0);
  for (const Carried& c : found) ++history.starts[c.lower + 1];
  accumulate(history.starts);
  history.contacts.resize(found.size());
  std::vector<std::uint32_t> next(history.starts.begin(), history.starts.end() - 1);
  for (const Carried& c : found) history.contacts[next[c.lower]++] = c;
  return history;
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

Offset between(const std::int32_t a[3], const std::int32_t b[3], const float unit[3]) {
  float d[3];
  for (int k = 0; k < 3; ++k)
    d[k] = unit[k] * static_cast<float>(static_cast<std::int32_t>(
                         static_cast<std::uint32_t>(a[k]) - static_cast<std::uint32_t>(b[k])));
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
    const bool still = state.motions[i].moves == 0.0f;
    bool sheltered = false;
    const std::size_t beginTouching = touching.size(), beginNear = near.size();
    const float reach = grain.radius + state.motions[i].slack;
    const auto consider = [&](std::uint32_t place) {
      const std::uint32_t j = grid.slotOf(place);
      if (j == i) return;
      const PackedGrain& other = state.grains[j];
      const Offset d = between(other.position, grain.position, state.unit);
      sheltered |= d.z > 0.0f && 2.0f * d.z * d.z > d.squared;  // within 45 degrees of upright
      const bool inside = j >= block.first && j < block.end;
      if ((inside && j < i) || (still && state.motions[j].moves == 0.0f)) return;
      const float sum = grain.radius + other.radius;
      (d.squared < sum * sum ? touching : near).push_back(std::minmax(i, j));
    };
    grid.forRuns(grain, [&](std::uint32_t first, std::uint32_t last) {
      grid.forWithin(first, last, grain, reach, state.unit, consider);
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
void setHistory(const PackedState& state, const Pair& pair, const History& history,
                PairGroup& group, std::size_t lane) {
  const PackedGrain& a = state.grains[pair.first];
  const PackedGrain& b = state.grains[pair.second];
  group.rootMass[lane] = 1.0f / std::sqrt(a.inverseMass + b.inverseMass);
  // 1/I_r = sum of 1/(I + m R^2) = sum of (5/7) 1/(m R^2).
  group.rootInertia[lane] = std::sqrt(
      1.4f / (a.inverseMass / (a.radius * a.radius) + b.inverseMass / (b.radius * b.radius)));
  for (std::uint32_t k = history.starts[pair.first]; k < history.starts[pair.first + 1]; ++k) {
    const Carried& c = history.contacts[k];
    if (c.upper != pair.second) continue;
    for (int axis = 0; axis < 3; ++axis) {
      group.tangential[axis][lane] = c.tangential[axis];
      group.rolling[axis][lane] = c.rolling[axis];
    }
    group.stiffness[lane] = c.stiffness;
  }
}

void listBlock(PackedState& state, Block& block, const CellGrid& grid, const ListSettings& settings,
               const History& history) {
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
    setHistory(state, pairs[p], history, block.history[p / kLanes], p % kLanes);
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

float speedOf(const PackedGrain& g) {
  return std::sqrt(g.velocity[0] * g.velocity[0] + g.velocity[1] * g.velocity[1] +
                   g.velocity[2] * g.velocity[2]);
}

/// Gives each grain its skin: by the fastest grain about it, for what moves there will soon move
/// it. Returns the largest.
float setSkins(PackedState& state, const ListSettings& settings, float largestRadius) {
  const std::size_t count = state.size();
  CellGrid coarse(count, state.unit, 4.0f * largestRadius);
  coarse.fill(state.grains.data(), nullptr, count);
  const std::vector<float> fastest =
      coarse.largestAround([&](std::uint32_t slot) { return speedOf(state.grains[slot]); });
#pragma omp parallel for
  for (std::size_t k = 0; k < count; ++k) {
    const float speed = fastest[coarse.cellOf(state.grains[k])];
    state.motions[k].slack =
        std::min(settings.baseSkin + speed * settings.skinTime, settings.maximumSkin);
  }
  float largestSkin = 0.0f;
  for (const GrainMotion& motion : state.motions) largestSkin = std::max(largestSkin, motion.slack);
  return largestSkin;
}

/// Puts grains in Morton order and cuts new blocks; returns the contacts' history in the new order.
History sortGrains(PackedState& state, const CellGrid& grid, const ListSettings& settings) {
  const std::vector<std::uint32_t> order = grid.mortonOrder(state.grains.data(), state.size());
  std::vector<std::uint32_t> newSlot(order.size());
  for (std::size_t k = 0; k < order.size(); ++k) newSlot[order[k]] = static_cast<std::uint32_t>(k);
  History history = collectMoved(state, newSlot);
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
  state.blocks = cutBlocks(state, settings.targetBlock);
  state.blocks.front().losses = losses;
  state.blocks.front().waterDrag = waterDrag;
  return history;
}

}  // namespace

void rebuildPairList(PackedState& state, const ListSettings& settings) {
  const std::size_t count = state.size();
  float largestRadius = 0.0f;
  for (std::size_t k = 0; k < count; ++k)
    largestRadius = std::max(largestRadius, state.grains[k].radius);
  const float largestSkin = setSkins(state, settings, largestRadius);
  CellGrid grid(count, state.unit, 2.0f * (largestRadius + largestSkin));
  // Grains keep their order for a while: they drift apart slowly, and sorting is serial.
  constexpr std::uint64_t kRebuildsPerSort = 16;
  const bool sorts = state.rebuilds++ % kRebuildsPerSort == 0;
  const History history = sorts ? sortGrains(state, grid, settings) : collectInPlace(state);
  grid.fill(state.grains.data(), state.motions.data(), count);
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < state.blocks.size(); ++b)
    listBlock(state, state.blocks[b], grid, settings, history);
}

}  // namespace holdground::fast
