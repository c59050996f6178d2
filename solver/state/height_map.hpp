#pragma once
// What straight lines from above meet first: heights of a bed's surface on a square grid.
// Frame: world; periodic in x and y. Checked by: tests/unit/state/height_map_test.cpp

#include <cstddef>
#include <optional>
#include <vector>

#include "solver/state/grain_set.hpp"

namespace holdground {

struct HeightMap {
  int countX = 1, countY = 1;
  double stepX = 0.0, stepY = 0.0;  ///< [m]
  std::vector<double> height;       ///< [m], x fastest; minus infinity where no grain lies under it

  double at(int x, int y) const { return height[static_cast<std::size_t>(y * countX + x)]; }
  /// Mean over y of the lines that meet a grain, at place x of the grid; nothing when none does.
  std::optional<double> meanAcross(int x) const;
  /// Middle of a cell [m].
  double placeX(int x) const { return (x + 0.5 - 0.5 * countX) * stepX; }
};

/// Cells of about a quarter of the largest radius.
HeightMap heightMap(const GrainSet& grains);

}  // namespace holdground
