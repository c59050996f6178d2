#include "solver/core/version.hpp"

#include <gtest/gtest.h>

#include <regex>
#include <string>

namespace holdground {

TEST(Version, IsThreeNumbers) {
  EXPECT_TRUE(std::regex_match(std::string(versionString()), std::regex(R"(\d+\.\d+\.\d+.*)")));
}

}  // namespace holdground
