#pragma once
// A uniform grid in the body's own frame that answers: which triangles can a grain at this point
// touch? Every cell lists, in ascending order, all triangles that come within `reach` of any point
// of the cell (and perhaps some slightly farther), so one look-up is complete.
// Symbols: reach = largest grain radius + whatever skin the caller wants [m].
// Promises: the query allocates nothing and is thread-safe.
// Checked by tests/unit/geometry/triangle_grid_test.cpp (against brute force).

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

class TriangleGrid {
 public:
  TriangleGrid() = default;
  /// @param reach [m] > 0. @param cellSize [m]; 0 picks one from reach and the size of the body.
  TriangleGrid(const TriangleMesh& mesh, double reach, double cellSize = 0.0);

  /// Triangles that may lie within reach of p (body frame); empty when p is outside the grid, that
  /// is, farther than reach from the body's bounding box.
  std::span<const std::uint32_t> candidates(const Vec3& p) const {
    std::array<int, 3> cell;
    for (int k = 0; k < 3; ++k) {
      const double u = (p[k] - lower_[k]) * inverseCell_;
      if (!(u >= 0.0 && u < count_[k])) return {};
      cell[k] = static_cast<int>(u);
    }
    const std::size_t c =
        (static_cast<std::size_t>(cell[2]) * count_[1] + cell[1]) * count_[0] + cell[0];
    return {triangles_.data() + start_[c], start_[c + 1] - start_[c]};
  }

  double reach() const { return reach_; }
  const Vec3& lower() const { return lower_; }  ///< corner of the grid, reach included [m]
  const Vec3& upper() const { return upper_; }
  std::size_t cellCount() const { return start_.empty() ? 0 : start_.size() - 1; }
  std::size_t entryCount() const { return triangles_.size(); }

 private:
  double reach_ = 0.0;
  double inverseCell_ = 0.0;
  Vec3 lower_ = Vec3::Zero();
  Vec3 upper_ = Vec3::Zero();
  std::array<int, 3> count_{0, 0, 0};
  std::vector<std::uint32_t> start_;      ///< CSR: first entry of each cell
  std::vector<std::uint32_t> triangles_;  ///< CSR: triangle indices
};

}  // namespace holdground
