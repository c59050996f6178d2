#pragma once
// A bed of coarse gravel whose probe tiles have some 2,000 grains, and probes of a second; its own
// cache, removed with it.

#include <gtest/gtest.h>
#include <omp.h>

#include <cstdlib>
#include <string>

#include "scenarios/card/card_probes.hpp"
#include "scenarios/schema/bed_recipe.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground::test {

class SmallCard : public testing::Test {
 protected:
  SmallCard() {
    omp_set_num_threads(1);
    if (const char* value = std::getenv("HOLDGROUND_CACHE")) former_ = value;
    setenv("HOLDGROUND_CACHE", folder_.path().c_str(), 1);
    bed_.name = "a bed";
    bed_.kind = "gravel";
    bed_.smallestDiameter = bed_.largestDiameter = 0.07;
    bed_.gradingBasis = GradingBasis::kMass;
    bed_.tileLength = bed_.tileWidth = 0.42;
    bed_.depth = 0.4;
    settings_.stresses = {2000.0, 6000.0};
    settings_.inertialNumber = 0.1;
    settings_.strain = 0.1;
    settings_.readings = 16;
    settings_.longestSlope = 0.02;
  }
  ~SmallCard() override {
    former_.empty() ? unsetenv("HOLDGROUND_CACHE") : setenv("HOLDGROUND_CACHE", former_.c_str(), 1);
  }

  TemporaryFolder folder_;
  std::string former_, messages_;
  BedRecipe bed_;
  CardSettings settings_;
};

}  // namespace holdground::test
