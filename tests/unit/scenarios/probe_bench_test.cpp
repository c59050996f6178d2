#include "scenarios/calibrate/probe_bench.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <omp.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/card_probes.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/bed/tile.hpp"
#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

/// Coarse gravel and probes of a second.
class ProbeBench : public testing::Test {
 protected:
  ProbeBench() {
    omp_set_num_threads(1);
    if (const char* value = std::getenv("HOLDGROUND_CACHE")) former_ = value;
    setenv("HOLDGROUND_CACHE", folder_.path().c_str(), 1);
    bed_.source.path = "bed.toml";
    bed_.smallestDiameter = bed_.largestDiameter = 0.07;
    bed_.tileLength = bed_.tileWidth = 0.42;
    bed_.depth = 0.4;
    bed_.target.frictionAngle = 0.5;
    bed_.target.strength = 3e3;
    bed_.target.strengthDepth = 0.3;
    CardSettings& quick = settings_.quick;
    quick.stresses = {3000.0, 6000.0};
    quick.inertialNumber = 0.1;
    quick.strain = 0.1;
    quick.readings = 16;
    settings_.full = quick;
  }
  ~ProbeBench() override {
    former_.empty() ? unsetenv("HOLDGROUND_CACHE") : setenv("HOLDGROUND_CACHE", former_.c_str(), 1);
  }
  Bench bench() const { return probeBench(bed_, settings_); }

  TemporaryFolder folder_;
  std::string former_;
  BedRecipe bed_;
  BenchSettings settings_;
};

TEST_F(ProbeBench, MeasuresOnceAndRemembersAcrossCalibrations) {
  testing::internal::CaptureStderr();
  const std::array all{Figure::kFrictionAngle, Figure::kStrength};
  const std::array weight{Figure::kUnitWeight};
  const ContactParameters home = parametersOf(bed_);
  const Bench first = bench();
  EXPECT_TRUE(first.earlier.empty());
  EXPECT_GT(first.solidFraction, 0.5);
  const Measurement measured = first.quick(home, all);
  EXPECT_FALSE(measured.isRemembered);
  EXPECT_GT(measured.figures[0].mean, 0.1);    // [rad]
  EXPECT_GT(measured.figures[1].mean, 300.0);  // under some 2.7 kPa [Pa]
  EXPECT_LT(measured.figures[1].mean, 2700.0);
  // Only what is missing is measured: the weight without shearing.
  const Measurement heavy = first.quick(home, weight);
  EXPECT_FALSE(heavy.isRemembered);
  EXPECT_NEAR(heavy.figures[0].mean,
              first.solidFraction * (home.density - bed_.water.density) * kStandardGravity, 1e-6);

  const Bench second = bench();
  ASSERT_EQ(second.earlier.size(), 1u);
  EXPECT_EQ(second.earlier[0].parameters, home);
  const Measurement again = second.quick(home, all);
  EXPECT_TRUE(again.isRemembered);
  EXPECT_EQ(again.figures[0].mean, measured.figures[0].mean);
  EXPECT_EQ(again.figures[1].standardError, measured.figures[1].standardError);
  testing::internal::GetCapturedStderr();
}

TEST_F(ProbeBench, VariantsMeasureABedOfAnotherStiffnessSizeAndDamping) {
  testing::internal::CaptureStderr();
  const std::array angle{Figure::kFrictionAngle};
  ContactParameters found = parametersOf(bed_);
  found.friction += 0.1;
  const Bench all = bench();
  ASSERT_EQ(all.variants.size(), 3u);
  const double asFound = all.full(found, angle).figures[0].mean;
  BedRecipe stiffer = bed_, finer = bed_, lively = bed_;
  stiffer.youngModulus =
      2.0 * tileRecipe(withParameters(bed_, found), bed_.seed).material.youngModulus;
  finer.smallestDiameter = finer.largestDiameter = 0.75 * 0.07;
  lively.material.restitutionCoefficient = std::sqrt(bed_.material.restitutionCoefficient);
  std::size_t k = 0;
  for (const BedRecipe& changed : {stiffer, finer, lively}) {
    EXPECT_FALSE(std::filesystem::exists(trialBookFile(changed, settings_.full)));
    EXPECT_NE(all.variants[k].measure(found, angle).figures[0].mean, asFound);
    EXPECT_TRUE(std::filesystem::exists(trialBookFile(changed, settings_.full))) << k;
    ++k;
  }
  EXPECT_EQ(all.variants[2].change, fmt::format("half the damping (restitution {:.2f})",
                                                lively.material.restitutionCoefficient));
  testing::internal::GetCapturedStderr();
}

TEST_F(ProbeBench, SlopesAreOfThreePackings) {
  testing::internal::CaptureStderr();
  settings_.quick.longestSlope = 0.3;
  const std::array repose{Figure::kRepose};
  const Estimate measured = bench().quick(parametersOf(bed_), repose).figures[0];
  std::vector<double> slopes;
  for (std::uint64_t seed = bed_.seed; seed < bed_.seed + 3; ++seed) {
    const TileRecipe recipe = tileRecipe(bed_, seed);
    const Tile small = settleTile(probeTileRecipe(recipe));
    slopes.push_back(cutDrySlopes(recipe, std::span(&small, 1), settings_.quick, "test")[0].mean());
  }
  EXPECT_EQ(measured.mean, estimateOf(slopes).mean);
  EXPECT_EQ(measured.standardError, estimateOf(slopes).standardError);
  testing::internal::GetCapturedStderr();
}

TEST_F(ProbeBench, KeepsOneBookForBedsThatDifferInWhatIsFoundOnly) {
  const auto book = [&] { return trialBookFile(bed_, settings_.quick); };
  const auto before = book();
  bed_.material.friction += 0.1;
  bed_.material.pullOffStress += 1e3;
  bed_.material.density += 100.0;
  bed_.tileLength *= 2.0;  // the probe tile is the same
  EXPECT_EQ(book(), before);
  BedRecipe other = bed_;
  other.material.restitutionCoefficient -= 0.1;
  EXPECT_NE(trialBookFile(other, settings_.quick), before);
  other = bed_;
  other.largestDiameter *= 1.1;
  EXPECT_NE(trialBookFile(other, settings_.quick), before);
  other = bed_;
  other.youngModulus = 5e7;
  EXPECT_NE(trialBookFile(other, settings_.quick), before);
  other = bed_;
  other.settlingFriction = 0.0;
  EXPECT_NE(trialBookFile(other, settings_.quick), before);
  CardSettings longer = settings_.quick;
  longer.strain *= 2.0;
  EXPECT_NE(trialBookFile(bed_, longer), before);
}

}  // namespace
}  // namespace holdground
