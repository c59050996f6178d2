#include "solver/material/effective_moduli.hpp"

#include <gtest/gtest.h>

namespace holdground {

TEST(EffectiveModuli, LikeBodiesAreHalfAsStiffAsOneOnRigid) {
  const EffectiveModuli like = effectiveModuli(7.0e10, 0.3, 7.0e10, 0.3);
  const EffectiveModuli rigid = effectiveModuliOnRigid(7.0e10, 0.3);
  EXPECT_DOUBLE_EQ(like.young, 0.5 * rigid.young);
  EXPECT_DOUBLE_EQ(like.shear, 0.5 * rigid.shear);
  EXPECT_NEAR(rigid.young, 7.0e10 / 0.91, 1.0);
}

// Mindlin 1949: kt/kn = 4 G*/E* = 2 (1 - nu)/(2 - nu) for like bodies; nu = 0.3 gives 0.8235.
TEST(EffectiveModuli, TangentialOverNormalStiffnessIsMindlins) {
  for (const double nu : {0.0, 0.23, 0.3, 0.5}) {
    const EffectiveModuli like = effectiveModuli(1.0e8, nu, 1.0e8, nu);
    EXPECT_NEAR(4.0 * like.shear / like.young, 2.0 * (1.0 - nu) / (2.0 - nu), 1e-14) << nu;
  }
  const EffectiveModuli like = effectiveModuli(1.0e8, 0.3, 1.0e8, 0.3);
  EXPECT_NEAR(4.0 * like.shear / like.young, 0.8235, 5e-5);
}

TEST(EffectiveModuli, ReducedMassAgainstAnImmovableBodyIsTheMass) {
  EXPECT_DOUBLE_EQ(reducedMass(1.0 / 3.0, 0.0), 3.0);
  EXPECT_DOUBLE_EQ(reducedMass(0.5, 0.5), 1.0);
  EXPECT_DOUBLE_EQ(reducedRadius(0.02, 0.02), 0.01);
}

}  // namespace holdground
