#include "solver/kernel_reference/pair_list.hpp"

#include <algorithm>
#include <numeric>

namespace holdground {
namespace {

PairConstants constantsOf(const Grain& i, const Grain& j) {
  return pairConstants(i.radius, j.radius, i.inverseMass, j.inverseMass);
}

bool areOfOneStone(const std::vector<std::uint32_t>& stones, const Grain& a, const Grain& b) {
  return !stones.empty() && stones[a.id] == stones[b.id] && stones[a.id] != kNoStone;
}

void listPairsOfBlock(const CellGrid& grid, const PeriodicPlane& plane, const ListReach& within,
                      const RememberedContacts& remembered, const std::vector<Grain>& grains,
                      Block& block) {
  block.pairs.clear();
  block.outgrown = false;
  for (std::uint32_t a = block.begin; a < block.end; ++a) {
    const Grain& self = grains[a];
    const double stretch = 1.0 + within.attraction;
    const double reach = stretch * self.radius + within.motions[a].skin;
    grid.visitAround(self.position, [&](std::uint32_t first, std::uint32_t last) {
      for (std::uint32_t b = first; b < last; ++b) {
        const Grain& other = grains[b];
        if (b == a || (self.frozen() && other.frozen())) continue;
        if (areOfOneStone(within.stones, self, other)) continue;
        const Vec3 d = plane.nearestImage(other.position - self.position);
        const double near = reach + stretch * other.radius + within.motions[b].skin;
        if (d.squaredNorm() >= near * near) continue;
        if (b < a && block.owns(b)) continue;  // listed with b
        const bool inOrder = self.id < other.id;
        block.pairs.push_back(
            {inOrder ? a : b, inOrder ? b : a,
             inOrder ? constantsOf(self, other) : constantsOf(other, self),
             remembered.find(std::min(self.id, other.id), std::max(self.id, other.id))});
      }
    });
  }
}

}  // namespace

RememberedContacts::RememberedContacts(const std::vector<Block>& blocks,
                                       const std::vector<Grain>& grains) {
  std::vector<Entry> entries;
  for (const Block& block : blocks)
    for (const Pair& pair : block.pairs)
      if (block.books(pair) && pair.history.tangentialStiffness > 0.0)
        entries.push_back({grains[pair.i].id, grains[pair.j].id, pair.history});
  file(std::move(entries), grains.size());
}

RememberedContacts::RememberedContacts(const GrainSet& set) {
  std::vector<Entry> entries;
  for (const ContactMemory& memory : set.contacts) {
    const double sign = memory.a < memory.b ? 1.0 : -1.0;
    entries.push_back({std::min(memory.a, memory.b),
                       std::max(memory.a, memory.b),
                       {sign * memory.tangentialForce, sign * memory.rollingMoment,
                        memory.tangentialStiffness, memory.dent}});
  }
  file(std::move(entries), set.size());
}

void RememberedContacts::file(std::vector<Entry> entries, std::size_t grains) {
  starts_.assign(grains + 2, 0);
  for (const Entry& entry : entries) ++starts_[entry.low + 1];
  std::partial_sum(starts_.begin(), starts_.end(), starts_.begin());
  std::vector<std::uint32_t> next = starts_;
  entries_.resize(entries.size());
  for (const Entry& entry : entries) entries_[next[entry.low]++] = entry;
}

ContactHistory RememberedContacts::find(std::uint32_t low, std::uint32_t high) const {
  for (std::uint32_t k = starts_[low]; k < starts_[low + 1]; ++k)
    if (entries_[k].high == high) return entries_[k].history;
  return {};
}

std::vector<Block> cutIntoBlocks(std::size_t count) {
  const std::size_t perBlock = std::clamp<std::size_t>(count / 16, 64, 4096);
  std::vector<Block> blocks((count + perBlock - 1) / perBlock);
  for (std::size_t k = 0; k < blocks.size(); ++k) {
    blocks[k].begin = static_cast<std::uint32_t>(k * perBlock);
    blocks[k].end = static_cast<std::uint32_t>(std::min(count, (k + 1) * perBlock));
  }
  return blocks;
}

void listPairs(const CellGrid& grid, const PeriodicPlane& plane, const ListReach& within,
               const RememberedContacts& remembered, const std::vector<Grain>& grains,
               std::vector<Block>& blocks) {
#pragma omp parallel for schedule(static)
  for (std::size_t k = 0; k < blocks.size(); ++k)
    listPairsOfBlock(grid, plane, within, remembered, grains, blocks[k]);
}

}  // namespace holdground
