#include "solver/kernel_reference/cell_grid.hpp"

#include <gtest/gtest.h>

#include <random>
#include <set>

namespace holdground {
namespace {

std::vector<Vec3> randomPositions(const Domain& domain, std::size_t count) {
  std::mt19937 engine(7);
  std::uniform_real_distribution<double> u(-0.5, 0.5);
  std::vector<Vec3> positions;
  for (std::size_t k = 0; k < count; ++k)
    positions.emplace_back(domain.lengthX * u(engine), domain.lengthY * u(engine),
                           domain.floorZ + (domain.ceilingZ - domain.floorZ) * (u(engine) + 0.5));
  return positions;
}

double imageDistance(const Domain& domain, Vec3 d) {
  d.x() -= domain.lengthX * std::round(d.x() / domain.lengthX);
  d.y() -= domain.lengthY * std::round(d.y() / domain.lengthY);
  return d.norm();
}

}  // namespace

TEST(CellGrid, SortIsAPermutationThatKeepsTheOrderWithinACell) {
  const Domain domain{1.0, 0.7, -0.4, 0.3};
  CellGrid grid(domain, domain.floorZ, domain.ceilingZ, 0.1, 500);
  const std::vector<std::uint32_t> order = grid.sort(randomPositions(domain, 500));
  EXPECT_EQ(std::set<std::uint32_t>(order.begin(), order.end()).size(), 500u);
  for (std::size_t cell = 0; cell + 1 < grid.starts().size(); ++cell)
    EXPECT_TRUE(std::is_sorted(order.begin() + grid.starts()[cell],
                               order.begin() + grid.starts()[cell + 1]));
}

TEST(CellGrid, VisitsEveryGrainNearerThanACellEdgeOnce) {
  for (const Domain domain : {Domain{1.0, 0.7, -0.4, 0.3}, Domain{0.25, 0.21, -1.0, 1.0}}) {
    const double edge = 0.1;
    CellGrid grid(domain, domain.floorZ, domain.ceilingZ, edge, 400);
    const std::vector<Vec3> unsorted = randomPositions(domain, 400);
    std::vector<Vec3> positions;
    for (const std::uint32_t k : grid.sort(unsorted)) positions.push_back(unsorted[k]);
    for (std::size_t self = 0; self < positions.size(); ++self) {
      std::vector<int> seen(positions.size(), 0);
      grid.visitAround(positions[self], [&](std::uint32_t first, std::uint32_t last) {
        for (std::uint32_t k = first; k < last; ++k) ++seen[k];
      });
      for (std::size_t k = 0; k < positions.size(); ++k) {
        ASSERT_LE(seen[k], 1);
        if (imageDistance(domain, positions[k] - positions[self]) < edge) {
          ASSERT_EQ(seen[k], 1);
        }
      }
    }
  }
}

}  // namespace holdground
