// A recipe's hash names its tile in the cache, so nothing that decides the tile may be left out.

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "solver/bed/tile.hpp"

namespace holdground {

TEST(TileRecipe, HashChangesWithEveryField) {
  std::set<std::uint64_t> hashes = {TileRecipe{}.hash()};
  const auto changed = [&hashes](auto change) {
    TileRecipe recipe;
    change(recipe);
    EXPECT_TRUE(hashes.insert(recipe.hash()).second) << "change " << hashes.size();
  };
  changed([](TileRecipe& r) { r.smallestDiameter *= 0.9; });
  changed([](TileRecipe& r) { r.largestDiameter *= 1.1; });
  changed([](TileRecipe& r) { r.gradingBasis = GradingBasis::kNumber; });
  changed([](TileRecipe& r) { r.shape = GrainShape::kAngular; });
  changed([](TileRecipe& r) { r.material.density += 1.0; });
  changed([](TileRecipe& r) { r.material.youngModulus *= 2.0; });
  changed([](TileRecipe& r) { r.material.poissonRatio = 0.3; });
  changed([](TileRecipe& r) { r.material.friction = 0.4; });
  changed([](TileRecipe& r) { r.material.rollingFriction = 0.2; });
  changed([](TileRecipe& r) { r.material.restitutionCoefficient = 0.6; });
  changed([](TileRecipe& r) { r.water.density = 1000.0; });
  changed([](TileRecipe& r) { r.water.dragCoefficient = 0.5; });
  changed([](TileRecipe& r) { r.length += 0.1; });
  changed([](TileRecipe& r) { r.width += 0.2; });
  changed([](TileRecipe& r) { r.depth += 0.3; });
  changed([](TileRecipe& r) { r.frozenThickness += 0.01; });
  changed([](TileRecipe& r) { r.settlingFriction = 0.1; });
  changed([](TileRecipe& r) { r.restSpeed *= 2.0; });
  changed([](TileRecipe& r) { r.longestSettling *= 2.0; });
  changed([](TileRecipe& r) { r.rayleighFraction = 0.1; });
  changed([](TileRecipe& r) { r.seed = 2; });
}

TEST(ExpectedGrainCount, IsWhatIsDrawn) {
  for (const GradingBasis basis : {GradingBasis::kMass, GradingBasis::kNumber})
    for (const double largest : {0.04, 0.06, 0.12}) {
      TileRecipe recipe;
      recipe.gradingBasis = basis;
      recipe.largestDiameter = largest;
      const auto drawn = static_cast<double>(grainCount(recipe));
      // Scatter of a sum of n draws: 1 / sqrt(n), times the spread of the volumes, about one.
      EXPECT_NEAR(expectedGrainCount(recipe), drawn, 4.0 * std::sqrt(drawn)) << largest;
    }
}

TEST(ExpectedGrainCount, AllocatesNothingForAnAbsurdRecipe) {
  TileRecipe recipe;
  recipe.length = recipe.width = 1000.0;
  EXPECT_GT(expectedGrainCount(recipe), 1e9);
}

}  // namespace holdground
