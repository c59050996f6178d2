#include "scenarios/run/tile_source.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>

#include "solver/core/errors.hpp"
#include "solver/material/modulus_rule.hpp"
#include "tests/support/small_pull.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

/// Puts the variables that name the cache back.
class CacheFolder : public testing::Test {
 protected:
  CacheFolder() {
    for (const char* name : {"HOLDGROUND_CACHE", "XDG_CACHE_HOME", "HOME"}) {
      const char* value = std::getenv(name);
      if (value != nullptr) former_[name] = value;
      unsetenv(name);
    }
  }
  ~CacheFolder() override {
    for (const char* name : {"HOLDGROUND_CACHE", "XDG_CACHE_HOME", "HOME"}) unsetenv(name);
    for (const auto& [name, value] : former_) set(name, value);
  }
  static void set(const std::string& name, const std::string& value) {
    setenv(name.c_str(), value.c_str(), 1);
  }

 private:
  std::map<std::string, std::string> former_;
};

/// obtainTile and what it says meanwhile.
std::pair<Tile, std::string> obtain(const TileRecipe& recipe) {
  testing::internal::CaptureStderr();
  Tile tile = obtainTile(recipe);
  return {std::move(tile), testing::internal::GetCapturedStderr()};
}

}  // namespace

TEST(TileRecipeOfABed, TakesEveryKeyOfTheBedFile) {
  BedRecipe bed;
  bed.smallestDiameter = 0.03;
  bed.largestDiameter = 0.05;
  bed.gradingBasis = GradingBasis::kNumber;
  bed.material = {2700.0, 0.0, 0.2, 0.45, 0.15, 0.6};
  bed.youngModulus = 5e7;
  bed.water = {1000.0, 0.4};
  bed.tileLength = 2.0;
  bed.tileWidth = 1.5;
  bed.depth = 0.9;
  bed.frozenThickness = 0.07;
  bed.settlingFriction = 0.1;
  bed.restSpeed = 2e-3;
  bed.longestSettlingTime = 33.0;
  bed.seed = 5;
  const TileRecipe recipe = tileRecipe(bed, 9, 0.15);
  EXPECT_EQ(recipe.smallestDiameter, 0.03);
  EXPECT_EQ(recipe.largestDiameter, 0.05);
  EXPECT_EQ(recipe.gradingBasis, GradingBasis::kNumber);
  EXPECT_EQ(recipe.material.density, 2700.0);
  EXPECT_EQ(recipe.material.youngModulus, 5e7);
  EXPECT_EQ(recipe.material.poissonRatio, 0.2);
  EXPECT_EQ(recipe.material.friction, 0.45);
  EXPECT_EQ(recipe.material.rollingFriction, 0.15);
  EXPECT_EQ(recipe.material.restitutionCoefficient, 0.6);
  EXPECT_EQ(recipe.water.density, 1000.0);
  EXPECT_EQ(recipe.water.dragCoefficient, 0.4);
  EXPECT_EQ(recipe.length, 2.0);
  EXPECT_EQ(recipe.width, 1.5);
  EXPECT_EQ(recipe.depth, 0.9);
  EXPECT_EQ(recipe.frozenThickness, 0.07);
  EXPECT_EQ(recipe.settlingFriction, 0.1);
  EXPECT_EQ(recipe.restSpeed, 2e-3);
  EXPECT_EQ(recipe.longestSettling, 33.0);
  EXPECT_EQ(recipe.rayleighFraction, 0.15);
  EXPECT_EQ(recipe.seed, 9u);
}

TEST(TileRecipeOfABed, WithoutThemTakesModulusFrictionAndLayerByRule) {
  BedRecipe bed;
  bed.largestDiameter = 0.05;
  bed.material.friction = 0.45;
  bed.expectedStress = 40e3;
  const TileRecipe recipe = tileRecipe(bed, 1);
  EXPECT_EQ(recipe.material.youngModulus, softenedYoungModulus(40e3, bed.material.poissonRatio));
  EXPECT_EQ(recipe.settlingFriction, 0.45);
  EXPECT_EQ(recipe.frozenThickness, 0.05);
}

TEST_F(CacheFolder, IsTheFirstThatTheEnvironmentNames) {
  EXPECT_EQ(cacheFolder(), ".cache/holdground");
  set("HOME", "/h");
  EXPECT_EQ(cacheFolder(), "/h/.cache/holdground");
  set("XDG_CACHE_HOME", "/x");
  EXPECT_EQ(cacheFolder(), "/x/holdground");
  set("HOLDGROUND_CACHE", "/c");
  EXPECT_EQ(cacheFolder(), "/c");
}

TEST_F(CacheFolder, HoldsATileOnceItIsSettled) {
  const TemporaryFolder folder;
  set("HOLDGROUND_CACHE", folder.path().string());
  const auto [settled, first] = obtain(smallRecipe());
  EXPECT_THAT(first, HasSubstr("settling the bed once"));
  EXPECT_EQ(settled.grains.position, smallTile().grains.position);
  const auto [fetched, second] = obtain(smallRecipe());
  EXPECT_EQ(second, "");
  EXPECT_EQ(fetched.grains.position, settled.grains.position);
  TileRecipe other = smallRecipe();
  other.seed = 2;
  EXPECT_FALSE(TileCache(folder.path()).find(other).has_value());
}

TEST_F(CacheFolder, HoldsNoBedThatDoesNotSettleAndTheBedFileIsNamed) {
  const TemporaryFolder folder;
  set("HOLDGROUND_CACHE", folder.path().string());
  TileRecipe hasty = smallRecipe();
  hasty.longestSettling = 0.02;
  TileRecipe unstable = smallRecipe();
  unstable.rayleighFraction = 4.0;
  testing::internal::CaptureStderr();
  try {
    obtainTile(hasty, "", "sand.toml");
    ADD_FAILURE() << "settled";
  } catch (const InputError& error) {
    EXPECT_THAT(error.what(),
                testing::StartsWith("sand.toml: settling.longest_time: found 0.02 s, allowed is"));
  }
  try {
    obtainTile(unstable, "", "sand.toml");
    ADD_FAILURE() << "settled";
  } catch (const SimulationError& error) {
    EXPECT_THAT(error.what(), testing::StartsWith("sand.toml: bed: flew apart while settling: "));
  }
  testing::internal::GetCapturedStderr();
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST_F(CacheFolder, ThatCannotBeWrittenCostsAWarningOnly) {
  const TemporaryFolder folder;
  set("HOLDGROUND_CACHE", (writeText(folder / "file", "in the way") / "cache").string());
  const auto [tile, words] = obtain(smallRecipe());
  EXPECT_EQ(tile.grains.size(), smallTile().grains.size());
  EXPECT_THAT(words, HasSubstr("the bed is used but not kept"));
}

}  // namespace holdground
