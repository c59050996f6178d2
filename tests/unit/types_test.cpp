#include "solver/core/types.hpp"

#include <gtest/gtest.h>

namespace holdground {

TEST(Types, StandardGravityIsTheIsoValue) { EXPECT_DOUBLE_EQ(kStandardGravity, 9.80665); }

}  // namespace holdground
