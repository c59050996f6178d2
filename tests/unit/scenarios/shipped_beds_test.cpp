// The beds that are shipped: every one is read, and has what its card needs.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/published_ranges.hpp"
#include "scenarios/run/tile_source.hpp"
#include "scenarios/schema/bed_file.hpp"

namespace holdground {

TEST(ShippedBeds, AreReadAndNamedAfterTheirKind) {
  std::set<std::string> kinds;
  for (const auto& entry : std::filesystem::directory_iterator(
           std::filesystem::path(HOLDGROUND_SOURCE_DIR) / "scenarios" / "beds")) {
    SCOPED_TRACE(entry.path().string());
    const BedRecipe bed = readBedFile(entry.path());
    EXPECT_FALSE(bed.note.empty());
    const TileRecipe recipe = tileRecipe(bed, bed.seed);
    EXPECT_GT(expectedGrainCount(recipe), 1000.0);
    if (bed.shape == GrainShape::kSphere) {  // stones are several each
      EXPECT_LT(grainCount(probeTileRecipe(recipe)), 10000u);
    }
    if (bed.isStack()) {
      EXPECT_EQ(bed.kind, bed.layers.front().kind);
      EXPECT_THAT(kindsWithRanges(), testing::Contains(bed.kind));
      continue;
    }
    std::string kind = entry.path().stem().string();
    std::replace(kind.begin(), kind.end(), '-', ' ');
    if (kind == "smoke") continue;
    if (bed.shape != GrainShape::kSphere) kind.erase(kind.rfind(' '));  // cobble angular
    EXPECT_EQ(bed.kind, kind);
    kinds.insert(bed.kind);
  }
  EXPECT_THAT(kinds, testing::UnorderedElementsAreArray(kindsWithRanges()));
}

}  // namespace holdground
