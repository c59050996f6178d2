#pragma once
// A grid of cells over the domain, periodic in x and y, that puts grains near in space near in
// memory: cells are ranked along a Z-order curve and grains sorted by the rank of their cell.
//
// Source: Morton 1966 (Z-order). Units: metres.
// Checked by: tests/unit/kernel_reference/cell_grid_test.cpp

#include <algorithm>
#include <cstdint>
#include <utility>
#include <vector>

#include "solver/core/types.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

class CellGrid {
 public:
  /// Cells of at least `smallestEdge` [m], and not many more cells than grains. Grains between
  /// lowerZ and upperZ [m]; those beyond fall into the outermost cells.
  CellGrid(const Domain& domain, double lowerZ, double upperZ, double smallestEdge,
           std::size_t grains);

  /// Sorts positions into cells: result[k] is the old index of the k-th grain in the new order.
  /// Grains of one cell keep their order.
  std::vector<std::uint32_t> sort(const std::vector<Vec3>& positions);

  /// Calls visit(first, last) for every cell around `position` in which a grain closer than the
  /// cell edge can be: a range of grains in the sorted order; no cell comes twice.
  template <typename Visit>
  void visitAround(const Vec3& position, Visit&& visit) const {
    const Index at = indexOf(position);
    visitCells({at.x - 1, at.y - 1, at.z - 1}, {at.x + 1, at.y + 1, at.z + 1}, visit);
  }

  /// The same for every cell that meets the box [lower, upper], with its periodic images.
  template <typename Visit>
  void visitBox(const Vec3& lower, const Vec3& upper, Visit&& visit) const {
    visitCells(indexOf(lower), indexOf(upper), visit);
  }

  const std::vector<std::uint32_t>& starts() const { return starts_; }
  void setStarts(std::vector<std::uint32_t> starts) { starts_ = std::move(starts); }

 private:
  struct Index {
    int x, y, z;  ///< x and y may lie outside, for images
  };

  Index indexOf(const Vec3& position) const;
  std::uint32_t rankOf(int x, int y, int z) const {
    return rank_[(static_cast<std::size_t>(z) * ny_ + y) * nx_ + x];
  }

  template <typename Visit>
  void visitCells(Index lower, Index upper, Visit&& visit) const {
    upper.x = std::min(upper.x, lower.x + nx_ - 1);
    upper.y = std::min(upper.y, lower.y + ny_ - 1);
    for (int z = std::max(lower.z, 0); z <= std::min(upper.z, nz_ - 1); ++z)
      for (int y = lower.y; y <= upper.y; ++y)
        for (int x = lower.x; x <= upper.x; ++x) {
          const std::uint32_t rank = rankOf(modulo(x, nx_), modulo(y, ny_), z);
          visit(starts_[rank], starts_[rank + 1]);
        }
  }

  static int modulo(int value, int count) {
    if (value >= 0 && value < count) return value;
    return (value % count + count) % count;
  }

  Vec3 lower_;  ///< corner of cell (0, 0, 0)
  Vec3 inverseEdge_;
  int nx_ = 1, ny_ = 1, nz_ = 1;
  std::vector<std::uint32_t> rank_;    ///< of each cell along the curve
  std::vector<std::uint32_t> starts_;  ///< first grain of each cell, by rank; one more at the end
};

}  // namespace holdground
