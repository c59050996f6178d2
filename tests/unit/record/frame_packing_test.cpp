#include "solver/record/frame_packing.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {

TEST(PackGrains, CountsWholeUnitsFromTheReference) {
  FrameData frame;
  frame.grainPosition = {{0.1 + 4e-6, -0.2 - 6e-6, -0.3}};
  frame.grainSpeed = {1.0f};
  const PackedGrains packed = packGrains(frame, {{0.1, -0.2, -0.3}}, 2.0, 1.0);
  EXPECT_EQ(packed.unit, format::kBaseUnit);
  EXPECT_EQ(packed.counts, (std::vector<std::int16_t>{2, -3, 0}));
  EXPECT_EQ(packed.speeds[0], 0x3c00);
}

TEST(PackGrains, OneFarGrainCoarsensTheUnitAndNothingOverflows) {
  FrameData frame;
  frame.grainPosition = {{0.0, 0.0, 0.9}, {0.0, 0.0, -0.9}, {0.0, 0.0, 0.0}};
  frame.grainSpeed = {0.0f, 0.0f, 0.0f};
  const PackedGrains packed = packGrains(frame, std::vector<Vec3>(3, Vec3::Zero()), 2.0, 1.0);
  EXPECT_EQ(packed.unit, 16 * format::kBaseUnit);  // 0.9 m / 32767 = 27 um: 2, 4, 8, 16, 32 um
  EXPECT_NEAR(packed.counts[2] * packed.unit, 0.9, packed.unit / 2);
  EXPECT_EQ(packed.counts[5], -packed.counts[2]);
}

TEST(PackGrains, AGrainWithoutAPlaceIsMarkedAndDoesNotSetTheUnit) {
  FrameData frame;
  frame.grainPosition = {{std::nan(""), 0.0, 0.0}, {0.0, 0.0, HUGE_VAL}, {1e-3, 0.0, 0.0}};
  frame.grainSpeed = {0.0f, 0.0f, 0.0f};
  const PackedGrains packed = packGrains(frame, std::vector<Vec3>(3, Vec3::Zero()), 2.0, 1.0);
  EXPECT_EQ(packed.unit, format::kBaseUnit);
  for (std::size_t k = 0; k < 6; ++k) EXPECT_EQ(packed.counts[k], format::kNoPlace);
  EXPECT_EQ(packed.counts[6], 500);
}

}  // namespace holdground
