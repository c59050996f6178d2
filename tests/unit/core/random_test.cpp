#include "solver/core/random.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {

TEST(CounterRandom, DependsOnSeedStreamAndCounterAlone) {
  const CounterRandom one(7, 3), same(7, 3), otherSeed(8, 3), otherStream(7, 4);
  EXPECT_EQ(one.uniform(12), same.uniform(12));
  EXPECT_NE(one.uniform(12), one.uniform(13));
  EXPECT_NE(one.uniform(12), otherSeed.uniform(12));
  EXPECT_NE(one.uniform(12), otherStream.uniform(12));
}

TEST(CounterRandom, IsUniformAndUncorrelated) {
  const CounterRandom random(1, 0);
  constexpr int kCount = 100000;
  double sum = 0.0, squares = 0.0, products = 0.0;
  for (int k = 0; k < kCount; ++k) {
    const double u = random.uniform(k);
    ASSERT_GE(u, 0.0);
    ASSERT_LT(u, 1.0);
    sum += u - 0.5;
    squares += (u - 0.5) * (u - 0.5);
    products += (u - 0.5) * (random.uniform(k + 1) - 0.5);
  }
  // Standard errors of mean, second moment and product of independent uniform numbers: sqrt(1/12),
  // sqrt(1/180) and 1/12 over sqrt(n); five of them.
  const double root = std::sqrt(static_cast<double>(kCount));
  EXPECT_LT(std::abs(sum / kCount), 5.0 * std::sqrt(1.0 / 12.0) / root);
  EXPECT_LT(std::abs(squares / kCount - 1.0 / 12.0), 5.0 * std::sqrt(1.0 / 180.0) / root);
  EXPECT_LT(std::abs(products / kCount), 5.0 / 12.0 / root);
}

}  // namespace holdground
