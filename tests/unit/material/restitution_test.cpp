#include "solver/material/restitution.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/errors.hpp"

namespace holdground {

// alpha in closed form: Antypov & Elliott 2011, EPL 94:50004. Restitution of that alpha when the
// force is never tensile: integrated independently (Runge-Kutta), given to four places.
TEST(Restitution, ForceThatNeverPullsKeepsMoreSpeedThanTheClosedForm) {
  struct Row {
    double asked, alpha, got;
  };
  for (const Row row :
       {Row{0.9, 0.074950, 0.9020}, Row{0.7, 0.252247, 0.7182}, Row{0.5, 0.481769, 0.5503},
        Row{0.3, 0.800193, 0.3971}, Row{0.1, 1.321863, 0.2527}}) {
    const double alpha = dampingOfRestitutionWithTension(row.asked);
    EXPECT_NEAR(alpha, row.alpha, 6e-7) << row.asked;
    EXPECT_NEAR(restitutionOfDamping(alpha), row.got, 6e-5) << row.asked;
  }
}

TEST(Restitution, SolvedDampingGivesTheRestitutionAsked) {
  for (const double asked : {0.02, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98, 0.999})
    EXPECT_NEAR(restitutionOfDamping(dampingOfRestitution(asked)), asked, 1e-8) << asked;
  EXPECT_EQ(dampingOfRestitution(1.0), 0.0);
}

// The same equation by leapfrog with very short steps: nothing in common with the solver's method
// but the equation. Its error is of the order of the step squared, over a contact of 3 units.
TEST(Restitution, AgreesWithAnotherIntegration) {
  for (const double asked : {0.2, 0.5, 0.8}) {
    const double alpha = dampingOfRestitution(asked);
    const double step = 1e-5;
    double x = 0.0, v = 1.0;
    for (;;) {
      const double middle = x + 0.5 * step * v;
      const double force = std::pow(middle, 1.5) + alpha * std::pow(middle, 0.25) * v;
      if (force < 0.0) break;
      v -= step * force;
      x = middle + 0.5 * step * v;
    }
    EXPECT_NEAR(-v, asked, 2e-5) << asked;
  }
}

TEST(Restitution, OutsideItsRangeIsRefused) {
  for (const double asked : {-0.1, 0.0, 0.019, 1.001, std::nan("")})
    EXPECT_THROW(dampingOfRestitution(asked), InputError) << asked;
}

}  // namespace holdground
