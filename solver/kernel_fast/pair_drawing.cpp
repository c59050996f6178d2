#include "solver/kernel_fast/pair_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace holdground::fast {

namespace {

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

PairMemory memoryAt(const Block& block, std::size_t p) {
  const PairGroup& group = block.history[p / kLanes];
  const std::size_t lane = p % kLanes;
  PairMemory m;
  for (int axis = 0; axis < 3; ++axis) {
    m.tangential[axis] = group.tangential[axis][lane];
    m.rolling[axis] = group.rolling[axis][lane];
  }
  m.stiffness = group.stiffness[lane];
  m.rootMass = group.rootMass[lane];
  m.rootInertia = group.rootInertia[lane];
  if (!block.dents.empty()) m.dent = block.dents[p];
  return m;
}

PairMemory freshMemory(const PackedGrain& a, const PackedGrain& b) {
  PairMemory m;
  m.rootMass = 1.0f / std::sqrt(a.inverseMass + b.inverseMass);
  // 1/I_r = sum of 1/(I + m R^2) = sum of (5/7) 1/(m R^2).
  m.rootInertia = std::sqrt(
      1.4f / (a.inverseMass / (a.radius * a.radius) + b.inverseMass / (b.radius * b.radius)));
  return m;
}

void setPlaces(Block& block) {
  constexpr std::uint32_t kPerRow = sizeof(ForceSum) / kPlaceBytes;
  const auto placeOf = [&](std::uint32_t slotBytes) {
    const std::uint32_t row = std::min(slotBytes / kSlotBytes - block.first, block.size());
    return static_cast<std::uint16_t>(row * kPerRow);  // below first: huge, so the spill row
  };
  block.places.resize(block.history.size());
  for (std::size_t p = 0; p < block.lower.size(); ++p) {
    block.places[p / kLanes].lower[p % kLanes] = placeOf(block.lower[p]);
    block.places[p / kLanes].upper[p % kLanes] = placeOf(block.upper[p]);
  }
}

/// Draws a block's list from its candidates, law by law: those that touch before those that merely
/// might, since groups of the second kind are soon done with. recall(pair, law) is what a pair
/// remembers, if it does.
template <typename Recall>
void drawList(PackedState& state, Block& block, Drawing& drawing, Recall&& recall) {
  drawing.begin(block, state.keepsDents);
  const auto* base = reinterpret_cast<const char*>(state.grains.data());
  for (const SlotPair& pair : block.candidates) {
    const auto& a = *reinterpret_cast<const PackedGrain*>(base + pair.lower);
    const auto& b = *reinterpret_cast<const PackedGrain*>(base + pair.upper);
    const std::uint32_t lower = pair.lower / kSlotBytes, upper = pair.upper / kSlotBytes;
    const std::uint32_t law = state.lawOf(lower, upper);
    if (drawing.runs.empty() || drawing.runs.back().law != law) {
      drawing.endRun(state.size());
      drawing.beginRun(law);
    }
    const Offset d = between(a.position, b.position, state.unit);
    const float sum = a.radius + b.radius;
    const float within =
        state.stretch * sum + state.motions[lower].slack + state.motions[upper].slack;
    const std::optional<PairMemory> memory = recall(pair, law);
    const bool known = memory.has_value() && memory->stiffness > 0.0f;
    if (d.squared >= within * within && !known) continue;
    const PairMemory m = memory.has_value() ? *memory : freshMemory(a, b);
    if (known || d.squared < sum * sum)
      drawing.add(pair, m);
    else
      drawing.near.emplace_back(pair, m);
  }
  drawing.endRun(state.size());
  drawing.trim();
  block.runs.swap(drawing.runs);
  block.lower.swap(drawing.lower);
  block.upper.swap(drawing.upper);
  block.history.swap(drawing.history);
  block.dents.swap(drawing.dents);
  setPlaces(block);
  block.outOfDate = false;
}

}  // namespace

void Drawing::begin(const Block& block, bool keepsDents) {
  // Every run but the last may leave a group that is not full.
  constexpr std::size_t kMostRuns = kMostSoils * (kMostSoils + 1) / 2;
  const std::size_t groups = (block.candidates.size() + kLanes - 1) / kLanes + kMostRuns - 1;
  lower.resize(groups * kLanes);
  upper.resize(groups * kLanes);
  history.resize(groups);
  dents.resize(keepsDents ? groups * kLanes : 0);
  near.clear();
  runs.clear();
  count = 0;
}

void Drawing::beginRun(std::uint32_t law) {
  const auto first = static_cast<std::uint32_t>(count);
  runs.push_back({law, first, first, first});
}

void Drawing::add(const SlotPair& pair, const PairMemory& m) {
  lower[count] = pair.lower;
  upper[count] = pair.upper;
  PairGroup& group = history[count / kLanes];
  const std::size_t lane = count % kLanes;
  for (int axis = 0; axis < 3; ++axis) {
    group.tangential[axis][lane] = m.tangential[axis];
    group.rolling[axis][lane] = m.rolling[axis];
  }
  group.stiffness[lane] = m.stiffness;
  group.rootMass[lane] = m.rootMass;
  group.rootInertia[lane] = m.rootInertia;
  if (!dents.empty()) dents[count] = m.dent;
  ++count;
}

void Drawing::endRun(std::size_t grains) {
  if (runs.empty()) return;
  runs.back().touching = static_cast<std::uint32_t>(count);
  for (const auto& [pair, memory] : near) add(pair, memory);
  near.clear();
  runs.back().end = static_cast<std::uint32_t>(count);
  const auto speck = static_cast<std::uint32_t>(grains) * kSlotBytes;
  while (count % kLanes != 0) add({speck, speck + kSlotBytes}, PairMemory{});
}

void Drawing::trim() {
  lower.resize(count);
  upper.resize(count);
  history.resize(count / kLanes);
  if (!dents.empty()) dents.resize(count);
}

// Both lists keep the candidates' order, in every run those that touch and those that might each
// among themselves: two fingers find what a pair remembers.
void redrawList(PackedState& state, Block& block, Drawing& drawing) {
  auto run = block.runs.begin();
  std::size_t inTouching = 0, inNear = 0;
  const auto point = [&] {
    if (run == block.runs.end()) return;
    inTouching = run->first;
    inNear = run->touching;
  };
  point();
  const auto isAt = [&](const SlotPair& pair, std::size_t p, std::size_t end) {
    return p < end && block.lower[p] == pair.lower && block.upper[p] == pair.upper;
  };
  const auto recall = [&](const SlotPair& pair, std::uint32_t law) -> std::optional<PairMemory> {
    if (run != block.runs.end() && run->law != law) {  // the candidates' runs are the list's
      ++run;
      point();
    }
    if (run == block.runs.end()) return std::nullopt;
    if (isAt(pair, inTouching, run->touching)) return memoryAt(block, inTouching++);
    if (isAt(pair, inNear, run->end)) return memoryAt(block, inNear++);
    return std::nullopt;
  };
  drawList(state, block, drawing, recall);
}

void drawNewList(PackedState& state, Block& block, const History& history, Drawing& drawing) {
  drawList(state, block, drawing,
           [&](const SlotPair& pair, std::uint32_t) -> std::optional<PairMemory> {
             const std::uint32_t lower = pair.lower / kSlotBytes, upper = pair.upper / kSlotBytes;
             for (std::uint32_t k = history.starts[lower]; k < history.starts[lower + 1]; ++k) {
               const Carried& c = history.contacts[k];
               if (c.upper != upper) continue;
               PairMemory m = freshMemory(state.grains[lower], state.grains[upper]);
               std::copy_n(c.tangential, 3, m.tangential);
               std::copy_n(c.rolling, 3, m.rolling);
               m.stiffness = c.stiffness;
               m.dent = c.dent;
               return m;
             }
             return std::nullopt;
           });
}

}  // namespace holdground::fast
