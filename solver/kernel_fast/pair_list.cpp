#include "solver/kernel_fast/pair_list.hpp"

#include <algorithm>
#include <cmath>

#include "solver/kernel_fast/cell_grid.hpp"
#include "solver/kernel_fast/pair_drawing.hpp"

namespace holdground::fast {

namespace {

/// Calls visit(pair index) for each pair of a block whose history this block answers for.
template <typename Visit>
void forOwnContacts(const Block& block, Visit&& visit) {
  block.forPairs([&](std::size_t p) {
    if (block.history[p / kLanes].stiffness[p % kLanes] > 0.0f &&
        block.lower[p] / kSlotBytes >= block.first)
      visit(p);
  });
}

/// What pair p remembers; springs change sign when its two slots swap order.
Carried carry(const Block& block, std::size_t p, std::uint32_t lower, std::uint32_t upper) {
  const PairGroup& group = block.history[p / kLanes];
  const std::size_t lane = p % kLanes;
  Carried c{std::min(lower, upper),
            std::max(lower, upper),
            {},
            {},
            group.stiffness[lane],
            block.dents.empty() ? 0.0f : block.dents[p]};
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
  std::vector<float> reserve(count);
  std::vector<std::uint8_t> soils(state.soils.empty() ? 0 : count);
  for (std::size_t k = 0; k < count; ++k) {
    grains[k] = state.grains[order[k]];
    motions[k] = state.motions[order[k]];
    ids[k] = state.ids[order[k]];
    reserve[k] = state.reserve[order[k]];
    if (!soils.empty()) soils[k] = state.soils[order[k]];
  }
  for (std::size_t k = count; k < state.grains.size(); ++k) grains[k] = state.grains[k];
  state.grains.swap(grains);
  state.motions.swap(motions);
  state.ids.swap(ids);
  state.reserve.swap(reserve);
  state.soils.swap(soils);
}

/// The candidates of one block, by law, and ascending by the block's own grain.
void findCandidates(const PackedState& state, Block& block, const CellGrid& grid) {
  block.candidates.clear();
  for (std::uint32_t i = block.first; i < block.end; ++i) {
    const PackedGrain& grain = state.grains[i];
    const bool still = state.motions[i].moves == kHeld;
    const auto consider = [&](std::uint32_t place) {
      const std::uint32_t j = grid.slotOf(place);
      const bool listedWithJ = j <= i && j >= block.first;
      if (listedWithJ || (still && state.motions[j].moves == kHeld)) return;
      if (state.areOfOneStone(i, j)) return;
      block.candidates.push_back({std::min(i, j) * kSlotBytes, std::max(i, j) * kSlotBytes});
    };
    const float reach = state.stretch * grain.radius + state.reserve[i];
    grid.forRuns(grain, [&](std::uint32_t first, std::uint32_t last) {
      grid.forWithin(first, last, grain, reach, state.unit, consider);
    });
  }
  if (state.soils.empty()) return;
  const auto law = [&](const SlotPair& pair) {
    return state.lawOf(pair.lower / kSlotBytes, pair.upper / kSlotBytes);
  };
  std::stable_sort(block.candidates.begin(), block.candidates.end(),
                   [&](const SlotPair& a, const SlotPair& b) { return law(a) < law(b); });
}

/// Lists the blocks that share candidates with this one.
void findNeighbours(const std::vector<Block>& blocks, Block& block) {
  std::vector<std::uint8_t> found(blocks.size(), 0);
  for (const SlotPair& pair : block.candidates)
    for (const std::uint32_t slot : {pair.lower / kSlotBytes, pair.upper / kSlotBytes}) {
      if (slot >= block.first && slot < block.end) continue;
      const auto after =
          std::upper_bound(blocks.begin(), blocks.end(), slot,
                           [](std::uint32_t s, const Block& other) { return s < other.first; });
      found[static_cast<std::size_t>(after - blocks.begin()) - 1] = 1;
    }
  block.neighbours.clear();
  for (std::uint32_t b = 0; b < blocks.size(); ++b)
    if (found[b] != 0) block.neighbours.push_back(b);
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
  state.reserve.resize(count);
#pragma omp parallel for
  for (std::size_t k = 0; k < count; ++k) {
    const float speed = fastest[coarse.cellOf(state.grains[k])];
    state.reserve[k] =
        std::min(settings.baseSkin + speed * settings.skinTime, settings.maximumSkin);
  }
  return *std::max_element(state.reserve.begin(), state.reserve.end());
}

/// Slack a grain should have, of the skin it has left [m].
float slackFor(const PackedGrain& grain, float left, const ListSettings& settings) {
  const float wanted = settings.baseSlack + speedOf(grain) * settings.slackTime;
  return std::min(left, std::max(wanted, settings.slackShare * left));
}

/// Is so little skin left that lists drawn from it would soon be out of date?
bool isWornOut(const PackedGrain& grain, float left, const ListSettings& settings) {
  return 2.0f * left < settings.baseSlack + speedOf(grain) * settings.leastSlackTime;
}

/// Moves slack of grains [first, end) from their reserve.
void setSlacks(PackedState& state, const ListSettings& settings, std::size_t first,
               std::size_t end) {
#pragma omp parallel for
  for (std::size_t k = first; k < end; ++k) {
    const float left = state.reserve[k];
    state.motions[k].slack = slackFor(state.grains[k], left, settings);
    state.reserve[k] = left - state.motions[k].slack;
  }
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
    losses.plastic += block.losses.plastic;
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

bool redrawPairList(PackedState& state, const ListSettings& settings) {
  if (state.reserve.size() != state.size()) return false;  // no candidates yet
  for (const Block& block : state.blocks) {
    if (!block.outOfDate) continue;
    for (std::size_t k = block.first; k < block.end; ++k)
      if (isWornOut(state.grains[k], state.reserve[k] + state.motions[k].slack, settings))
        return false;
  }
  // Grains of blocks that are out of date get new slack, and every list they stand in is drawn
  // anew. All others keep what is left of theirs, so the lists in which only they stand stay right.
  std::vector<std::uint8_t> due(state.blocks.size(), 0);
  for (std::size_t b = 0; b < state.blocks.size(); ++b) {
    const Block& block = state.blocks[b];
    if (!block.outOfDate) continue;
    due[b] = 1;
    for (const std::uint32_t neighbour : block.neighbours) due[neighbour] = 1;
    for (std::size_t k = block.first; k < block.end; ++k)
      state.reserve[k] += state.motions[k].slack;
    setSlacks(state, settings, block.first, block.end);
  }
#pragma omp parallel
  {
    Drawing drawing;
#pragma omp for schedule(dynamic, 1)
    for (std::size_t b = 0; b < state.blocks.size(); ++b)
      if (due[b] != 0) redrawList(state, state.blocks[b], drawing);
  }
  return true;
}

void rebuildPairList(PackedState& state, const ListSettings& settings) {
  const std::size_t count = state.size();
  float largestRadius = 0.0f;
  for (std::size_t k = 0; k < count; ++k)
    largestRadius = std::max(largestRadius, state.grains[k].radius);
  const float largestSkin = setSkins(state, settings, largestRadius);
  CellGrid grid(count, state.unit, 2.0f * (state.stretch * largestRadius + largestSkin));
  // Grains keep their order for a while: they drift apart slowly, and sorting is serial.
  constexpr std::uint64_t kRebuildsPerSort = 4;
  const bool sorts = state.rebuilds++ % kRebuildsPerSort == 0;
  const History history = sorts ? sortGrains(state, grid, settings) : collectInPlace(state);
  grid.fill(state.grains.data(), state.reserve.data(), count, state.stretch);
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < state.blocks.size(); ++b)
    findCandidates(state, state.blocks[b], grid);
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t b = 0; b < state.blocks.size(); ++b)
    findNeighbours(state.blocks, state.blocks[b]);
  setSlacks(state, settings, 0, count);
#pragma omp parallel
  {
    Drawing drawing;
#pragma omp for schedule(dynamic, 1)
    for (std::size_t b = 0; b < state.blocks.size(); ++b)
      drawNewList(state, state.blocks[b], history, drawing);
  }
}

}  // namespace holdground::fast
