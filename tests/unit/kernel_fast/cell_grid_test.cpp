// Looking around in the grid of the fast kernel, against all grains by brute force.

#include "solver/kernel_fast/cell_grid.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "solver/kernel_fast/fast_kernel.hpp"
#include "tests/support/random_grains.hpp"

namespace holdground {

TEST(CellGrid, VisitsEveryGrainAroundExactlyOnce) {
  for (const double width : {0.1, 0.2, 0.3, 0.9}) {
    SCOPED_TRACE(width);
    RandomGrains request;
    request.domain = {width, 1.7 * width, 0.0, 0.5};
    request.count = 200;
    const FastKernel kernel(randomGrains(request), KernelSettings{});
    const fast::PackedState& state = kernel.state();
    const float reach = 0.08f;
    fast::CellGrid grid(kernel.size(), state.unit, reach);
    std::vector<std::uint32_t> order = grid.mortonOrder(state.grains.data(), kernel.size());
    std::sort(order.begin(), order.end());
    for (std::uint32_t k = 0; k < order.size(); ++k) ASSERT_EQ(order[k], k);
    grid.fill(state.grains.data(), nullptr, kernel.size());
    for (std::uint32_t i = 0; i < kernel.size(); ++i) {
      std::vector<int> visits(kernel.size(), 0);
      grid.forRuns(state.grains[i], [&](std::uint32_t first, std::uint32_t last) {
        for (std::uint32_t place = first; place < last; ++place) ++visits[grid.slotOf(place)];
      });
      for (std::uint32_t j = 0; j < kernel.size(); ++j) {
        const double distance =
            nearestImage(kernel.domain(), kernel.sample(i).position, kernel.sample(j).position)
                .norm();
        EXPECT_LE(visits[j], 1);
        if (distance < reach) {
          EXPECT_EQ(visits[j], 1) << i << ", " << j << " at " << distance;
        }
      }
    }
  }
}

}  // namespace holdground
