#pragma once
// A grid of cells over the domain, at least one interaction distance wide, and the order of grains
// along a Morton curve through it.

#include <algorithm>
#include <cstdint>
#include <vector>

#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

class CellGrid {
 public:
  /// Cells no narrower than `reach` [m]; coarser where there would be many more cells than grains.
  CellGrid(std::size_t count, const float unit[3], float reach);

  /// Slots in the order of their cells along the Morton curve; ties keep their order.
  std::vector<std::uint32_t> mortonOrder(const PackedGrain* grains, std::size_t count) const;

  /// Sorts grains into cells. Each reaches its radius times `stretch` and its skin far; `skins` by
  /// slot [m], without it they are zero.
  void fill(const PackedGrain* grains, const float* skins, std::size_t count, float stretch = 1.0f);

  /// Finds grains within reach: calls visit(place) for every place of [first, last) whose grain is
  /// closer to `grain` than `reach` and its own reach together. Distances are taken several at a
  /// time.
  template <typename Visit>
  void forWithin(std::uint32_t first, std::uint32_t last, const PackedGrain& grain, float reach,
                 const float unit[3], Visit&& visit) const {
    constexpr std::uint32_t kChunk = 32;
    float spare[kChunk];
    for (; first < last; first += kChunk) {
      const std::uint32_t count = std::min(kChunk, last - first);
      const std::int32_t* px = x_.data() + first;
      const std::int32_t* py = y_.data() + first;
      const std::int32_t* pz = z_.data() + first;
      const float* pr = reach_.data() + first;
      const std::uint32_t ox = static_cast<std::uint32_t>(grain.position[0]);
      const std::uint32_t oy = static_cast<std::uint32_t>(grain.position[1]);
      const std::uint32_t oz = static_cast<std::uint32_t>(grain.position[2]);
#pragma omp simd
      for (std::uint32_t k = 0; k < count; ++k) {
        const float dx =
            unit[0] *
            static_cast<float>(static_cast<std::int32_t>(static_cast<std::uint32_t>(px[k]) - ox));
        const float dy =
            unit[1] *
            static_cast<float>(static_cast<std::int32_t>(static_cast<std::uint32_t>(py[k]) - oy));
        const float dz =
            unit[2] *
            static_cast<float>(static_cast<std::int32_t>(static_cast<std::uint32_t>(pz[k]) - oz));
        const float within = reach + pr[k];
        spare[k] = within * within - (dx * dx + dy * dy + dz * dz);
      }
      for (std::uint32_t k = 0; k < count; ++k)
        if (spare[k] > 0.0f) visit(first + k);
    }
  }
  std::uint32_t slotOf(std::uint32_t place) const { return slots_[place]; }

  /// Calls visit(first, last) for runs of places [first, last) that together hold every grain in
  /// the cells around the cell of `grain`, itself included. x and y wrap round; no cell comes twice
  /// however small the grid.
  template <typename Visit>
  void forRuns(const PackedGrain& grain, Visit&& visit) const {
    const int cx = cellX(grain), cy = cellY(grain), cz = cellZ(grain);
    const bool wholeX = cells_[0] < 3, wholeY = cells_[1] < 3;
    const int beginY = wholeY ? 0 : cy - 1, endY = wholeY ? cells_[1] - 1 : cy + 1;
    const int beginZ = cz > 0 ? cz - 1 : 0, endZ = cz + 1 < cells_[2] ? cz + 1 : cz;
    for (int z = beginZ; z <= endZ; ++z)
      for (int y = beginY; y <= endY; ++y) {
        const int row = (z * cells_[1] + wrap(y, cells_[1])) * cells_[0];
        const int beginX = wholeX ? 0 : std::max(0, cx - 1);
        const int endX = wholeX ? cells_[0] - 1 : std::min(cells_[0] - 1, cx + 1);
        visit(starts_[row + beginX], starts_[row + endX + 1]);
        if (wholeX) continue;
        if (cx == 0) visit(starts_[row + cells_[0] - 1], starts_[row + cells_[0]]);
        if (cx == cells_[0] - 1) visit(starts_[row], starts_[row + 1]);
      }
  }

  int cellOf(const PackedGrain& g) const {
    return (cellZ(g) * cells_[1] + cellY(g)) * cells_[0] + cellX(g);
  }

  /// For each cell the largest of value(slot) over its grains and those of the 26 cells about it.
  template <typename Value>
  std::vector<float> largestAround(Value&& value) const {
    std::vector<float> largest(starts_.size() - 1, 0.0f);
    for (std::size_t cell = 0; cell + 1 < starts_.size(); ++cell)
      for (std::uint32_t k = starts_[cell]; k < starts_[cell + 1]; ++k)
        largest[cell] = std::max(largest[cell], value(slots_[k]));
    for (int axis = 0; axis < 3; ++axis) largest = largestAlong(axis, largest);
    return largest;
  }

 private:
  std::vector<float> largestAlong(int axis, const std::vector<float>& of) const;
  static int wrap(int c, int n) { return c < 0 ? c + n : (c >= n ? c - n : c); }
  static int along(std::int32_t position, int cells, std::uint32_t origin) {
    const std::uint64_t offset = static_cast<std::uint32_t>(position) - origin;
    return static_cast<int>((offset * static_cast<std::uint64_t>(cells)) >> 32);
  }
  int cellX(const PackedGrain& g) const { return along(g.position[0], cells_[0], 0x80000000u); }
  int cellY(const PackedGrain& g) const { return along(g.position[1], cells_[1], 0x80000000u); }
  int cellZ(const PackedGrain& g) const { return along(g.position[2], cells_[2], 0x80000000u); }

  int cells_[3];
  std::vector<std::uint32_t> starts_, slots_;
  std::vector<std::int32_t> x_, y_, z_;  ///< by place [domain units]
  std::vector<float> reach_;             ///< by place: radius and skin [m]
};

}  // namespace holdground::fast
