// Tiles of several soils: their order, their thickness, what holds them, and their file.
#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "solver/core/errors.hpp"
#include "solver/state/select_grains.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/small_stack.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

double meanHeight(const GrainSet& grains, std::size_t soil) {
  double sum = 0.0, count = 0.0;
  for (std::size_t k = 0; k < grains.size(); ++k)
    if (grains.soilOf(k) == soil) {
      sum += grains.position[k].z();
      ++count;
    }
  return sum / count;
}

std::unique_ptr<GrainKernel> kernelFor(const Tile& tile, const TileRecipe& recipe,
                                       KernelKind kind) {
  KernelSettings settings = recipe.kernelSettings();
  settings.timeStep = stableTimeStep(tile.grains, recipe.soils());
  return makeKernel(kind, tile.grains, settings);
}

}  // namespace

// Between layers grains lie in each other's gaps, half a grain deep; the middles are a thickness
// apart.
TEST(StackTile, SettlesWithItsLayersInOrder) {
  const Tile& tile = smallStack();
  EXPECT_NEAR(surfaceLevel(tile.grains), 0.0, 1e-12);
  const double mud = meanHeight(tile.grains, 0), sand = meanHeight(tile.grains, 1);
  EXPECT_NEAR(mud, -0.5 * tile.layers[0].thickness, 0.02);
  EXPECT_NEAR(mud - sand, 0.5 * (tile.layers[0].thickness + tile.layers[1].thickness), 0.02);
  double deepestMud = 0.0;
  for (std::size_t k = 0; k < tile.grains.size(); ++k)
    if (tile.grains.soilOf(k) == 0) deepestMud = std::min(deepestMud, tile.grains.position[k].z());
  EXPECT_GT(deepestMud, -tile.layers[0].thickness - 0.044) << "a lump fell through the sand";
}

// As for one soil: the recipe reckons with a solid fraction of 0.57 and beds have 0.55 to 0.65, and
// an uneven surface adds half a grain.
TEST(StackTile, LayersAreAboutAsThickAsAsked) {
  for (const auto& [tile, recipe] :
       {std::pair{&smallStack(), smallStackRecipe()}, std::pair{&sandOnPan(), sandOnPanRecipe()}}) {
    ASSERT_EQ(tile->layers.size(), 2u);
    double sum = 0.0;
    for (std::size_t k = 0; k < 2; ++k) {
      const double asked = recipe.layers[k].thickness;
      EXPECT_NEAR(tile->layers[k].thickness, asked, 0.15 * asked + 0.02) << k;
      EXPECT_GT(tile->layers[k].solidFraction, 0.5) << k;
      EXPECT_LT(tile->layers[k].solidFraction, 0.68) << k;
      sum += tile->layers[k].thickness;
    }
    EXPECT_NEAR(sum, tile->depth, 1e-12);
  }
}

TEST(StackTile, GrainsHaveTheSizesOfTheirLayer) {
  TileRecipe recipe = smallStackRecipe();
  recipe.layers[0].smallestDiameter = 0.024;
  recipe.layers[0].largestDiameter = 0.028;
  recipe.smallestDiameter = 0.024;
  const GrainSet loose = looseGrains(recipe);
  for (std::size_t k = 0; k < loose.size(); ++k) {
    const SoilLayer& layer = recipe.layers[loose.soil[k]];
    EXPECT_GE(2.0 * loose.radius[k], layer.smallestDiameter);
    EXPECT_LE(2.0 * loose.radius[k], layer.largestDiameter);
  }
  for (std::size_t k = 0; k < smallStack().grains.size(); ++k) {
    EXPECT_GT(2.0 * smallStack().grains.radius[k], 0.036 * (1.0 - 1e-6));
    EXPECT_LT(2.0 * smallStack().grains.radius[k], 0.044 * (1.0 + 1e-6));
  }
}

TEST(StackTile, HoldsThePanAndNothingElse) {
  const Tile& tile = sandOnPan();
  for (std::size_t k = 0; k < tile.grains.size(); ++k)
    EXPECT_EQ(tile.grains.frozen[k] != 0, tile.grains.soil[k] == 1) << "grain " << k;
  const Tile& own = smallStack();
  for (std::size_t k = 0; k < own.grains.size(); ++k)
    EXPECT_EQ(own.grains.frozen[k] != 0, own.grains.position[k].z() < -own.depth + 0.044);
}

TEST(StackTile, RestsAndThePanDoesNotMove) {
  for (const KernelKind kind : {KernelKind::kFast, KernelKind::kReference}) {
    for (const auto& [tile, recipe] : {std::pair{&smallStack(), smallStackRecipe()},
                                       std::pair{&sandOnPan(), sandOnPanRecipe()}}) {
      const auto kernel = kernelFor(*tile, recipe, kind);
      const GrainSet before = kernel->store();
      steps(*kernel, 300);
      const GrainSet after = kernel->store();
      EXPECT_EQ(after.soil, tile->grains.soil);
      double squares = 0.0;
      for (std::size_t k = 0; k < after.size(); ++k) {
        const double moved = (after.position[k] - before.position[k]).norm();
        squares += moved * moved;
        EXPECT_LT(moved, 0.2 * after.radius[k]);  // a single loose one may turn over
        if (tile->grains.frozen[k] != 0) {
          ASSERT_EQ(after.position[k], before.position[k]);
        }
      }
      // At the rms speed that counts as rest.
      const double time = 300 * stableTimeStep(tile->grains, recipe.soils());
      EXPECT_LT(std::sqrt(squares / static_cast<double>(after.size())), recipe.restSpeed * time);
    }
  }
}

TEST(StackTile, KeepsItsSoilsInFileCopiesAndSelections) {
  const TemporaryFolder folder;
  const TileCache cache(folder.path());
  cache.keep(smallStackRecipe(), smallStack());
  const auto kept = cache.find(smallStackRecipe());
  ASSERT_TRUE(kept.has_value());
  EXPECT_EQ(kept->grains.soil, smallStack().grains.soil);
  ASSERT_EQ(kept->layers.size(), 2u);
  EXPECT_EQ(kept->layers[1].top, smallStack().layers[1].top);
  const GrainSet laid = layTiles(*kept, 2, 1);
  const std::size_t count = kept->grains.size();
  ASSERT_EQ(laid.soil.size(), 2 * count);
  for (std::size_t k = 0; k < laid.size(); ++k)
    ASSERT_EQ(laid.soil[k], kept->grains.soil[k % count]);
  const GrainSet mud = selectGrains(laid, [&](std::size_t k) { return laid.soil[k] == 0; });
  EXPECT_EQ(mud.soil, std::vector<std::uint8_t>(mud.size(), 0));
}

TEST(StackTile, HashChangesWithEveryFieldOfALayer) {
  std::set<std::uint64_t> hashes = {smallStackRecipe().hash()};
  const auto changed = [&hashes](auto change) {
    TileRecipe recipe = smallStackRecipe();
    change(recipe.layers[1]);
    EXPECT_TRUE(hashes.insert(recipe.hash()).second) << "change " << hashes.size();
  };
  changed([](SoilLayer& l) { l.thickness += 0.01; });
  changed([](SoilLayer& l) { l.smallestDiameter *= 0.9; });
  changed([](SoilLayer& l) { l.largestDiameter *= 1.1; });
  changed([](SoilLayer& l) { l.gradingBasis = GradingBasis::kNumber; });
  changed([](SoilLayer& l) { l.settlingFriction = 0.2; });
  changed([](SoilLayer& l) { l.material.density += 1.0; });
  changed([](SoilLayer& l) { l.material.youngModulus *= 2.0; });
  changed([](SoilLayer& l) { l.material.poissonRatio = 0.3; });
  changed([](SoilLayer& l) { l.material.friction = 0.4; });
  changed([](SoilLayer& l) { l.material.rollingFriction = 0.25; });
  changed([](SoilLayer& l) { l.material.restitutionCoefficient = 0.6; });
  changed([](SoilLayer& l) { l.material.pullOffStress = 1.0; });
  changed([](SoilLayer& l) { l.material.pullOffRange = 0.05; });
  changed([](SoilLayer& l) { l.material.plasticity = 0.5; });
  changed([](SoilLayer& l) { l.material.adhesiveShare = 0.5; });
  TileRecipe pan = smallStackRecipe();
  pan.bottom = StackBottom::kHardPan;
  EXPECT_TRUE(hashes.insert(pan.hash()).second);
  TileRecipe one = smallStackRecipe();
  one.layers.clear();
  EXPECT_TRUE(hashes.insert(one.hash()).second);
}

TEST(StackTile, ExpectedGrainCountIsWhatIsDrawn) {
  const auto drawn = static_cast<double>(grainCount(smallStackRecipe()));
  EXPECT_NEAR(expectedGrainCount(smallStackRecipe()), drawn, 4.0 * std::sqrt(drawn));
}

TEST(StackTile, RefusesWhatCannotBeAStack) {
  const auto refused = [](auto change, const char* words) {
    TileRecipe recipe = smallStackRecipe();
    change(recipe);
    try {
      settleTile(recipe);
      ADD_FAILURE() << "settled: " << words;
    } catch (const InputError& error) {
      EXPECT_NE(std::string(error.what()).find(words), std::string::npos) << error.what();
    }
  };
  refused([](TileRecipe& r) { r.layers[1].thickness = 0.05; }, "layer 2");
  refused([](TileRecipe& r) { r.layers[0].largestDiameter = 0.01; }, "layer 1");
  refused([](TileRecipe& r) { r.shape = GrainShape::kAngular; }, "stones");
  refused([](TileRecipe& r) { r.layers.resize(9, r.layers[0]); }, "9 layers");
  refused([](TileRecipe& r) { r.layers[0].material.pullOffStress = 1e6; }, "pull_off_stress");
}

}  // namespace holdground
