#pragma once
// A closed plate between two grids of points that face each other.
//
// Points are given by row (station) and column. Seen against `upper`'s outward side, rows go
// forward and columns to the left, so that rows x columns is outward. The rim is closed with quads
// from upper to lower: the mesh is watertight by construction, and plates that share a row share
// its rim triangles. Checked by tests/unit/pattern/plate_loft_test.cpp.

#include <vector>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

struct PointGrid {
  int rows = 0;
  int columns = 0;
  std::vector<Vec3> points;  ///< row by row [m]

  PointGrid(int rowCount, int columnCount)
      : rows(rowCount), columns(columnCount), points(static_cast<std::size_t>(rows) * columns) {}
  Vec3& at(int row, int column) { return points[static_cast<std::size_t>(row) * columns + column]; }
  const Vec3& at(int row, int column) const {
    return points[static_cast<std::size_t>(row) * columns + column];
  }
};

/// How quads are cut: all alike (from the next row's right corner to this row's left one), or
/// mirrored in the middle column.
enum class Diagonals { kAlike, kMirrored };

/// Grids of one size, at least 2 x 2. Vertices: all of upper, then all of lower.
TriangleMesh loftPlate(const PointGrid& upper, const PointGrid& lower, Diagonals diagonals);

}  // namespace holdground
