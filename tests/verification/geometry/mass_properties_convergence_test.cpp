#include <gtest/gtest.h>

#include "solver/geometry/mass_properties.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

namespace {

double orderOf(double coarse, double fine) { return std::log2(coarse / fine); }

}  // namespace

TEST(MassPropertiesConvergence, IcosphereTendsToTheSphereWithOrderTwo) {
  // An inscribed polyhedron misses a sphere by the square of its edge; each level halves the edge.
  const double radius = 0.7;
  const double volume = 4.0 / 3.0 * kPi * std::pow(radius, 3);
  const double inertia = 0.4 * volume * radius * radius;
  double lastVolumeError = 0.0, lastInertiaError = 0.0;
  for (int level = 2; level <= 5; ++level) {
    const MassProperties p = massProperties(test::icosphere(level, radius, {1.0, 2.0, -0.5}));
    const double volumeError = 1.0 - p.volume / volume;
    const double inertiaError = 1.0 - p.inertia(0, 0) / inertia;
    EXPECT_GT(volumeError, 0.0);  // inscribed
    if (level > 2) {
      // The next term of the series is a quarter of the leading one at most at this coarseness.
      EXPECT_NEAR(orderOf(lastVolumeError, volumeError), 2.0, 0.05) << "level " << level;
      EXPECT_NEAR(orderOf(lastInertiaError, inertiaError), 2.0, 0.05) << "level " << level;
    }
    lastVolumeError = volumeError;
    lastInertiaError = inertiaError;
  }
}

TEST(MassPropertiesConvergence, IcosphereIsIsotropic) {
  // The icosahedral group has no preferred axis: inertia is a multiple of the identity.
  const MassProperties p = massProperties(test::icosphere(2, 1.0));
  const double mean = p.inertia.trace() / 3.0;
  EXPECT_LT((p.inertia - mean * Mat3::Identity()).norm(), 1e-13);
}

}  // namespace holdground
