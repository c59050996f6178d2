// Lists drawn again from the same candidates.

#include "solver/kernel_fast/pair_drawing.hpp"

#include <gtest/gtest.h>

#include <cstring>

#include "solver/kernel_fast/fast_kernel.hpp"
#include "tests/support/random_grains.hpp"

namespace holdground {
namespace {

FastKernel crowdedKernel() {
  RandomGrains request;
  request.count = 1500;
  request.largestRadius = 0.04;
  request.largestOverlap = 0.05;
  request.speed = 0.2;
  FastKernel kernel(randomGrains(request), KernelSettings{});
  for (int step = 0; step < 3; ++step) {
    kernel.updateNeighbours();
    kernel.advance();
  }
  return kernel;
}

template <typename Vector>
bool sameBytes(const Vector& a, const Vector& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(a[0])) == 0;
}

fast::ListSettings anySettings() {
  fast::ListSettings settings;
  settings.baseSlack = 1e-4f;
  return settings;
}

}  // namespace

TEST(PairDrawing, PadsTheLastGroupWithPairsThatNeverTouch) {
  fast::Drawing drawing;
  fast::Block block;
  block.candidates.resize(fast::kLanes + 3);
  drawing.begin(block, false);
  drawing.beginRun(0);
  for (const fast::SlotPair& pair : block.candidates) drawing.add(pair, fast::PairMemory{});
  drawing.endRun(7);
  drawing.trim();
  ASSERT_EQ(drawing.runs.size(), 1U);
  EXPECT_EQ(drawing.runs[0].end, block.candidates.size());
  ASSERT_EQ(drawing.lower.size(), 2U * fast::kLanes);
  EXPECT_EQ(drawing.history.size(), 2U);
  for (std::size_t p = drawing.runs[0].end; p < drawing.lower.size(); ++p) {
    EXPECT_EQ(drawing.lower[p], 7 * fast::kSlotBytes);
    EXPECT_EQ(drawing.upper[p], 8 * fast::kSlotBytes);
  }
}

TEST(PairDrawing, DrawnTwiceIsTheSameWithAllItRemembers) {
  fast::PackedState state = crowdedKernel().state();
  std::size_t remembered = 0;
  for (fast::Block& block : state.blocks) {
    fast::Drawing drawing;
    fast::redrawList(state, block, drawing);
    const fast::Block once = block;
    fast::redrawList(state, block, drawing);
    EXPECT_TRUE(sameBytes(block.runs, once.runs));
    EXPECT_TRUE(sameBytes(block.lower, once.lower) && sameBytes(block.upper, once.upper));
    EXPECT_TRUE(sameBytes(block.history, once.history));
    block.forPairs([&](std::size_t p) {
      remembered += block.history[p / fast::kLanes].stiffness[p % fast::kLanes] > 0.0f ? 1 : 0;
    });
  }
  EXPECT_GT(remembered, 30U);
}

TEST(PairDrawing, KeepsTheMemoryOfEveryContact) {
  fast::PackedState state = crowdedKernel().state();
  const auto contacts = [](const fast::PackedState& s) {
    double sum = 0.0;
    std::size_t count = 0;
    for (const fast::Block& block : s.blocks)
      block.forPairs([&](std::size_t p) {
        const fast::PairGroup& group = block.history[p / fast::kLanes];
        const double kt = static_cast<double>(group.stiffness[p % fast::kLanes]);
        count += kt > 0.0 ? 1 : 0;
        sum += kt;
      });
    return std::pair{count, sum};
  };
  const auto [countBefore, sumBefore] = contacts(state);
  ASSERT_TRUE(fast::redrawPairList(state, anySettings()));
  const auto [countAfter, sumAfter] = contacts(state);
  EXPECT_EQ(countAfter, countBefore);
  // The same doubles in another order: a few thousand roundings of 1e-16.
  EXPECT_NEAR(sumAfter, sumBefore, 1e-12 * sumBefore);
}

}  // namespace holdground
