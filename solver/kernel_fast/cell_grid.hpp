#pragma once
// A grid of cells over the domain, at least one interaction distance wide, and the order of grains
// along a Morton curve through it.

#include <cstdint>
#include <vector>

#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

class CellGrid {
 public:
  /// Cells no narrower than `reach` [m]; coarser where there would be many more cells than grains.
  CellGrid(const PackedGrain* grains, std::size_t count, const float unit[3], float reach);

  /// Slots in the order of their cells along the Morton curve; ties keep their order.
  std::vector<std::uint32_t> mortonOrder() const;

  /// Sorts slots into cells; call after the grains have been put in order.
  void fill(const PackedGrain* grains, std::size_t count);

  /// Calls visit(slot) for every grain in the cells around the cell of `grain`, itself included.
  /// x and y wrap round; no cell is visited twice however small the grid.
  template <typename Visit>
  void forNeighbours(const PackedGrain& grain, Visit&& visit) const {
    const int cx = cellX(grain), cy = cellY(grain), cz = cellZ(grain);
    const int reachX = cells_[0] < 3 ? 0 : 1, reachY = cells_[1] < 3 ? 0 : 1;
    const int beginX = reachX ? cx - 1 : 0, endX = reachX ? cx + 1 : cells_[0] - 1;
    const int beginY = reachY ? cy - 1 : 0, endY = reachY ? cy + 1 : cells_[1] - 1;
    const int beginZ = cz > 0 ? cz - 1 : 0, endZ = cz + 1 < cells_[2] ? cz + 1 : cz;
    for (int z = beginZ; z <= endZ; ++z)
      for (int y = beginY; y <= endY; ++y) {
        const int row = (z * cells_[1] + wrap(y, cells_[1])) * cells_[0];
        for (int x = beginX; x <= endX; ++x) {
          const int cell = row + wrap(x, cells_[0]);
          for (std::uint32_t k = starts_[cell]; k < starts_[cell + 1]; ++k) visit(members_[k]);
        }
      }
  }

 private:
  static int wrap(int c, int n) { return c < 0 ? c + n : (c >= n ? c - n : c); }
  static int along(std::int32_t position, int cells, std::uint32_t origin) {
    const std::uint64_t offset = static_cast<std::uint32_t>(position) - origin;
    return static_cast<int>((offset * static_cast<std::uint64_t>(cells)) >> 32);
  }
  int cellX(const PackedGrain& g) const { return along(g.position[0], cells_[0], 0x80000000u); }
  int cellY(const PackedGrain& g) const { return along(g.position[1], cells_[1], 0x80000000u); }
  int cellZ(const PackedGrain& g) const { return along(g.position[2], cells_[2], 0x80000000u); }
  int cellOf(const PackedGrain& g) const {
    return (cellZ(g) * cells_[1] + cellY(g)) * cells_[0] + cellX(g);
  }

  int cells_[3];
  std::vector<std::uint64_t> codes_;  ///< Morton code per slot
  std::vector<std::uint32_t> starts_, members_;
};

}  // namespace holdground::fast
