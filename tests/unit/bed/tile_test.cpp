#include "solver/bed/tile.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <fstream>
#include <set>

#include "solver/core/errors.hpp"
#include "tests/support/small_pull.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(Tile, PacksBetweenTheLoosestAndTheDensestBedOfSpheres) {
  // Onoda & Liniger 1990, PRL 64:2727: 0.555 for the loosest; 0.64 for the densest random packing
  // (both from memory). A tile nine grains wide and five deep leaves 0.02 of it to chance.
  EXPECT_GT(smallTile().solidFraction, 0.555 - 0.02);
  EXPECT_LT(smallTile().solidFraction, 0.64 + 0.02);
}

TEST(Tile, HasItsSurfaceAtZeroAndItsBottomHeld) {
  const Tile& tile = smallTile();
  EXPECT_NEAR(surfaceLevel(tile.grains), 0.0, 1e-12);
  for (std::size_t k = 0; k < tile.grains.size(); ++k) {
    const bool low = tile.grains.position[k].z() < -tile.depth + smallRecipe().frozenThickness;
    EXPECT_EQ(tile.grains.frozen[k] != 0, low) << "grain " << k;
  }
}

TEST(Tile, ComesToTheDepthAsked) {
  // The recipe reckons with a solid fraction of 0.57; the bed has between 0.55 and 0.64, and its
  // uneven surface half a grain.
  EXPECT_NEAR(smallTile().depth, 0.3, 0.15 * 0.3);
}

TEST(Tile, IsTheSameForTheSameRecipeAndAnotherForAnotherSeed) {
  TileRecipe recipe = smallRecipe();
  const Tile again = settleTile(recipe);
  ASSERT_EQ(again.grains.size(), smallTile().grains.size());
  for (std::size_t k = 0; k < again.grains.size(); ++k)
    ASSERT_EQ(again.grains.position[k], smallTile().grains.position[k]) << "grain " << k;
  recipe.seed = 2;
  EXPECT_NE(recipe.hash(), smallRecipe().hash());
}

TEST(Tile, RefusesWhatCannotBeABed) {
  TileRecipe narrow = smallRecipe();
  narrow.width = 0.1;
  EXPECT_THROW(settleTile(narrow), InputError);
  TileRecipe hasty = smallRecipe();
  hasty.longestSettling = 0.01;
  EXPECT_THROW(settleTile(hasty), InputError);
  TileRecipe upsideDown = smallRecipe();
  upsideDown.largestDiameter = 0.04;
  EXPECT_THROW(settleTile(upsideDown), InputError);
  TileRecipe sticky = smallRecipe();  // grains that would vanish into each other
  sticky.material.youngModulus = 1e4;
  sticky.material.pullOffStress = 1e6;
  try {
    settleTile(sticky);
    ADD_FAILURE() << "settled";
  } catch (const InputError& error) {
    EXPECT_NE(std::string(error.what()).find("pull_off_stress"), std::string::npos) << error.what();
  }
}

TEST(TileCache, GivesBackWhatItKept) {
  const TemporaryFolder folder;
  const TileCache cache(folder.path());
  EXPECT_FALSE(cache.find(smallRecipe()).has_value());
  cache.keep(smallRecipe(), smallTile());
  const auto kept = cache.find(smallRecipe());
  ASSERT_TRUE(kept.has_value());
  EXPECT_EQ(kept->grains.position, smallTile().grains.position);
  EXPECT_EQ(kept->grains.velocity, smallTile().grains.velocity);
  EXPECT_EQ(kept->grains.radius, smallTile().grains.radius);
  EXPECT_EQ(kept->grains.frozen, smallTile().grains.frozen);
  ASSERT_EQ(kept->grains.contacts.size(), smallTile().grains.contacts.size());
  for (std::size_t k = 0; k < kept->grains.contacts.size(); ++k) {
    EXPECT_EQ(kept->grains.contacts[k].a, smallTile().grains.contacts[k].a);
    EXPECT_EQ(kept->grains.contacts[k].tangentialForce,
              smallTile().grains.contacts[k].tangentialForce);
  }
  EXPECT_EQ(kept->solidFraction, smallTile().solidFraction);
}

TEST(TileCache, GivesBackDents) {
  const TemporaryFolder folder;
  Tile tile = smallTile();
  double dent = 1e-5;
  for (ContactMemory& contact : tile.grains.contacts) contact.dent = dent += 1e-7;
  TileRecipe recipe = smallRecipe();
  recipe.material.plasticity = 0.5;
  EXPECT_NE(recipe.hash(), smallRecipe().hash());
  const std::uint64_t plain = recipe.hash();
  recipe.material.adhesiveShare = 1.0;
  EXPECT_NE(recipe.hash(), plain);
  tile.recipeHash = recipe.hash();
  const TileCache cache(folder.path());
  cache.keep(recipe, tile);
  const auto kept = cache.find(recipe);
  ASSERT_TRUE(kept.has_value());
  const GrainSet laid = layTiles(*kept, 2, 1);
  const std::size_t count = tile.grains.contacts.size();
  ASSERT_EQ(laid.contacts.size(), 2 * count);
  double sum = 0.0, expected = 0.0;
  for (std::size_t k = 0; k < count; ++k) {
    EXPECT_EQ(kept->grains.contacts[k].dent, tile.grains.contacts[k].dent);
    expected += 2.0 * tile.grains.contacts[k].dent;
  }
  for (const ContactMemory& contact : laid.contacts) sum += contact.dent;
  EXPECT_NEAR(sum, expected, 1e-12 * expected);
}

TEST(TileCache, TakesADamagedFileForAbsent) {
  const TemporaryFolder folder;
  const TileCache cache(folder.path());
  cache.keep(smallRecipe(), smallTile());
  const auto file = cache.fileOf(smallRecipe());
  const auto size = std::filesystem::file_size(file);
  {
    std::fstream damage(file, std::ios::in | std::ios::out | std::ios::binary);
    damage.seekp(static_cast<std::streamoff>(size / 2));
    damage.put('x').put('y');
  }
  EXPECT_FALSE(cache.find(smallRecipe()).has_value());
  std::filesystem::resize_file(file, size / 3);
  EXPECT_FALSE(cache.find(smallRecipe()).has_value());
  std::filesystem::resize_file(file, 3);
  EXPECT_FALSE(cache.find(smallRecipe()).has_value());
}

TEST(LayTiles, KeepsEveryContactAndJoinsNeighbours) {
  const GrainSet bed = layTiles(smallTile(), 3, 2);
  EXPECT_EQ(bed.size(), 6 * smallTile().grains.size());
  EXPECT_EQ(bed.contacts.size(), 6 * smallTile().grains.contacts.size());
  EXPECT_DOUBLE_EQ(bed.domain.lengthX, 1.5);
  EXPECT_DOUBLE_EQ(bed.domain.lengthY, 1.0);
  std::set<std::pair<std::uint32_t, std::uint32_t>> seen;
  for (const ContactMemory& c : bed.contacts) {
    Vec3 d = bed.position[c.a] - bed.position[c.b];
    d.x() -= 1.5 * std::round(d.x() / 1.5);
    d.y() -= 1.0 * std::round(d.y() / 1.0);
    EXPECT_LT(d.norm(), bed.radius[c.a] + bed.radius[c.b])
        << c.a << " and " << c.b << " do not touch";
    EXPECT_TRUE(seen.insert(std::minmax(c.a, c.b)).second)
        << c.a << " and " << c.b << " come twice";
  }
}

}  // namespace holdground
