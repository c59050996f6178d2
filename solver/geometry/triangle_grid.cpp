#include "solver/geometry/triangle_grid.hpp"

#include <algorithm>
#include <cmath>

#include "solver/geometry/bounds.hpp"
#include "solver/geometry/closest_point.hpp"

namespace holdground {

namespace {

// Finer cells waste less on the cell's own size, coarser ones waste less memory.
constexpr double kCellsPerReach = 3.0;
constexpr double kMostCells = 2.0e5;

}  // namespace

TriangleGrid::TriangleGrid(const TriangleMesh& mesh, double reach, double cellSize)
    : reach_(reach) {
  if (mesh.triangles.empty()) return;
  const Bounds body = boundsOf(mesh);
  lower_ = body.lower.array() - reach;
  upper_ = body.upper.array() + reach;
  const Vec3 extent = upper_ - lower_;
  double cell = cellSize;
  if (cell <= 0.0) cell = std::max(reach / kCellsPerReach, std::cbrt(extent.prod() / kMostCells));
  inverseCell_ = 1.0 / cell;
  // One cell more than fits, so that the upper corner itself is inside.
  for (int k = 0; k < 3; ++k) count_[k] = static_cast<int>(extent[k] / cell) + 1;

  const std::size_t cells = static_cast<std::size_t>(count_[0]) * count_[1] * count_[2];
  const double centreReach = reach + 0.5 * std::sqrt(3.0) * cell * (1.0 + 1e-9);
  std::vector<std::pair<std::uint32_t, std::uint32_t>> entries;  // cell, triangle
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
    const Bounds box = boundsOf(mesh, t);
    std::array<int, 3> first, last;
    for (int k = 0; k < 3; ++k) {
      first[k] = std::max(0, static_cast<int>((box.lower[k] - reach - lower_[k]) / cell) - 1);
      last[k] =
          std::min(count_[k] - 1, static_cast<int>((box.upper[k] + reach - lower_[k]) / cell) + 1);
    }
    for (int z = first[2]; z <= last[2]; ++z) {
      for (int y = first[1]; y <= last[1]; ++y) {
        for (int x = first[0]; x <= last[0]; ++x) {
          const Vec3 centre = lower_ + cell * Vec3(x + 0.5, y + 0.5, z + 0.5);
          const Vec3 nearest = closestPointOnTriangle(centre, a, b, c).point;
          if ((nearest - centre).squaredNorm() > centreReach * centreReach) continue;
          const std::size_t index = (static_cast<std::size_t>(z) * count_[1] + y) * count_[0] + x;
          entries.emplace_back(static_cast<std::uint32_t>(index), static_cast<std::uint32_t>(t));
        }
      }
    }
  }
  // Counting sort by cell keeps triangles ascending within each cell.
  start_.assign(cells + 1, 0);
  for (const auto& entry : entries) ++start_[entry.first + 1];
  for (std::size_t c = 0; c < cells; ++c) start_[c + 1] += start_[c];
  triangles_.resize(entries.size());
  std::vector<std::uint32_t> fill(start_.begin(), start_.end() - 1);
  for (const auto& entry : entries) triangles_[fill[entry.first]++] = entry.second;
}

}  // namespace holdground
