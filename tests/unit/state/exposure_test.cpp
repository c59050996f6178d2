#include "solver/state/exposure.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/random_grains.hpp"

namespace holdground {
namespace {

const Domain kDomain{1.0, 1.0, -1.0, 1.0};

using Flags = std::vector<std::uint8_t>;

/// Two grains of 20 mm radius, the second at `offset` from the first.
Flags pairAt(const Vec3& offset, const Vec3& first = Vec3::Zero()) {
  return exposedGrains(kDomain, {first, first + offset}, {0.02, 0.02});
}

Vec3 leaning(double degrees, double distance) {
  const double angle = degrees * kPi / 180.0;
  return {0.6 * distance * std::sin(angle), 0.8 * distance * std::sin(angle),
          distance * std::cos(angle)};
}

/// Every pair looked at, with the rule written out once more.
Flags bruteForce(const GrainSet& bed) {
  Flags exposed(bed.size(), 1);
  for (std::size_t a = 0; a < bed.size(); ++a)
    for (std::size_t b = 0; b < bed.size(); ++b) {
      const Vec3 d = nearestImage(bed.domain, bed.position[a], bed.position[b]);
      const double gap = d.norm() - bed.radius[a] - bed.radius[b];
      const double meanDiameter = bed.radius[a] + bed.radius[b];
      if (d.z() > 0.0 && d.z() >= std::hypot(d.x(), d.y()) && gap <= 0.5 * meanDiameter)
        exposed[a] = 0;
    }
  return exposed;
}

}  // namespace

TEST(Exposure, OfALoneGrain) {
  EXPECT_EQ(exposedGrains(kDomain, {Vec3::Zero()}, {0.02}), Flags{1});
  EXPECT_TRUE(exposedGrains(kDomain, {}, {}).empty());
}

TEST(Exposure, EndsWhereAnotherGrainIsNearerThanHalfADiameterAbove) {
  // Radii of 20 mm: 40 mm apart they touch, at 60 mm the gap is half a diameter.
  EXPECT_EQ(pairAt({0.0, 0.0, 0.0599}), (Flags{0, 1}));
  EXPECT_EQ(pairAt({0.0, 0.0, 0.0601}), (Flags{1, 1}));
  EXPECT_EQ(pairAt({0.0, 0.0, -0.0599}), (Flags{1, 0}));
}

TEST(Exposure, LastsWhenTheOtherStandsMoreToTheSideThanAbove) {
  EXPECT_EQ(pairAt(leaning(44.0, 0.045)), (Flags{0, 1}));
  EXPECT_EQ(pairAt(leaning(46.0, 0.045)), (Flags{1, 1}));
}

TEST(Exposure, SeesAcrossTheSidesOfThePeriodicBed) {
  const Vec3 corner(0.495, 0.495, 0.0);
  EXPECT_EQ(pairAt(leaning(40.0, 0.045) - Vec3(1.0, 1.0, 0.0), corner), (Flags{0, 1}));
}

TEST(Exposure, IsTheSameAsByBruteForce) {
  for (const std::uint32_t seed : {1u, 2u, 3u}) {
    RandomGrains request;
    request.seed = seed;
    request.count = 2500;
    const GrainSet bed = randomGrains(request);
    const Flags exposed = exposedGrains(bed.domain, bed.position, bed.radius);
    EXPECT_EQ(exposed, bruteForce(bed)) << "seed " << seed;
    const auto count = std::count(exposed.begin(), exposed.end(), 1);
    EXPECT_GT(count, 250);  // of both kinds enough
    EXPECT_LT(count, 2250);
  }
}

}  // namespace holdground
