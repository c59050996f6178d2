#include "solver/kernel_fast/pass_constants.hpp"

#include <gtest/gtest.h>

namespace holdground {

TEST(PassConstants, AreThoseOfTheLaw) {
  GrainMaterial material;
  material.pullOffStress = 1000.0;
  material.plasticity = 0.5;
  material.adhesiveShare = 2.0;
  const ContactLaw law = contactLaw(material);
  const float unit[3] = {1.0f, 2.0f, 3.0f};
  const fast::PassConstants c = fast::passConstants(law, unit, 1e-4, 6.0);
  EXPECT_EQ(c.unit[2], 3.0f);
  EXPECT_FLOAT_EQ(c.halfPerStep, 5000.0f);
  EXPECT_FLOAT_EQ(c.normalModulus, static_cast<float>(2.0 * law.effectiveYoung));
  EXPECT_FLOAT_EQ(c.stiffnessRatio,
                  static_cast<float>(4.0 * law.effectiveShear / law.effectiveYoung));
  EXPECT_FLOAT_EQ(c.friction, 0.5f);
  EXPECT_FLOAT_EQ(c.rollingRatio * c.inverseRollingRatio, 1.0f);
  EXPECT_FLOAT_EQ(c.gravity, 6.0f);
  EXPECT_FLOAT_EQ(c.pullOff, 16000.0f);
  EXPECT_FLOAT_EQ(c.stiffening, 2.0f);
  EXPECT_FLOAT_EQ(c.adhesiveShare, 2.0f);
}

TEST(PassConstants, WithoutRollingResistanceItsRatioHasNoReciprocal) {
  GrainMaterial material;
  material.rollingFriction = 0.0;
  const float unit[3] = {1.0f, 1.0f, 1.0f};
  EXPECT_EQ(fast::passConstants(contactLaw(material), unit, 1e-4, 0.0).inverseRollingRatio, 0.0f);
}

}  // namespace holdground
