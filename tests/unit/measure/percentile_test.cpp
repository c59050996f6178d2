#include "postprocess/measure/percentile.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {

TEST(Percentile, IsLinearBetweenOrderStatistics) {
  // Hyndman & Fan 1996, definition 7, by hand: place 0.9 * 4 = 3.6 between 40 and 50.
  EXPECT_DOUBLE_EQ(percentile({50, 10, 40, 20, 30}, 0.9), 46.0);
  EXPECT_DOUBLE_EQ(percentile({50, 10, 40, 20, 30}, 0.5), 30.0);
  EXPECT_DOUBLE_EQ(percentile({1, 2}, 0.25), 1.25);
}

TEST(Percentile, EndsAreTheExtremes) {
  EXPECT_EQ(percentile({3, 1, 2}, 0.0), 1.0);
  EXPECT_EQ(percentile({3, 1, 2}, 1.0), 3.0);
  EXPECT_EQ(percentile({7}, 0.9), 7.0);
  EXPECT_TRUE(std::isnan(percentile({}, 0.5)));
}

TEST(Mean, OfNothingIsNotANumber) {
  EXPECT_DOUBLE_EQ(mean({1, 2, 6}), 3.0);
  EXPECT_TRUE(std::isnan(mean({})));
}

}  // namespace holdground
