// One contact for a convex edge, two for a concave corner, one for a tessellated flat.

#include "solver/contact/surface_minima.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {
namespace {

using namespace test;

class Touch {
 public:
  explicit Touch(const std::vector<TriangleMesh>& meshes) {
    std::vector<const TriangleMesh*> pointers;
    for (const TriangleMesh& mesh : meshes) pointers.push_back(&mesh);
    minima_ = SurfaceMinima(joinSurfaces(pointers));
    all_.resize(minima_.surface().mesh.triangles.size());
    std::iota(all_.begin(), all_.end(), 0u);
  }
  explicit Touch(const TriangleMesh& mesh) : Touch(std::vector<TriangleMesh>{mesh}) {}

  MinimumList at(const Vec3& centre, double radius) const {
    MinimumList found;
    minima_.find(centre, radius, all_, {}, found);
    return found;
  }
  const SurfaceMinima& minima() const { return minima_; }
  std::vector<std::uint32_t> all() const { return all_; }

 private:
  SurfaceMinima minima_;
  std::vector<std::uint32_t> all_;
};

Mat3 someRotation() {
  return Eigen::AngleAxisd(0.83, Vec3(0.3, -0.5, 0.7).normalized()).toRotationMatrix();
}

}  // namespace

TEST(SurfaceMinima, TessellatedFlatGivesOneContactEverywhere) {
  // Turned out of the axes, so that rounding has its say; over faces, edges and vertices alike.
  const Mat3 rotation = someRotation();
  const Touch touch(moved(sheet(1.0, 1.0, 20, 20), rotation, Vec3(0.4, -0.2, 0.7)));
  const Vec3 normal = rotation * Vec3::UnitZ();
  const double radius = 0.06, height = 0.055;
  for (int i = -36; i <= 36; ++i) {
    for (int j = -36; j <= 36; ++j) {
      // Steps of a quarter square: every fourth is on a line of the tessellation.
      const Vec3 centre = rotation * Vec3(0.0125 * i, 0.0125 * j, height) + Vec3(0.4, -0.2, 0.7);
      const MinimumList found = touch.at(centre, radius);
      ASSERT_EQ(found.size, 1) << i << ' ' << j;
      EXPECT_NEAR(found.items[0].distance, height, 1e-14);
      EXPECT_NEAR((found.items[0].normal - normal).norm(), 0.0, 1e-13);
      EXPECT_NEAR((found.items[0].point - (centre - height * normal)).norm(), 0.0, 1e-14);
    }
  }
}

TEST(SurfaceMinima, NothingFromBehindOrTooFar) {
  const Touch touch(sheet(1.0, 1.0, 4, 4));
  EXPECT_EQ(touch.at(Vec3(0.1, 0.1, -0.01), 0.05).size, 0);
  EXPECT_EQ(touch.at(Vec3(0.1, 0.1, 0.05), 0.05).size, 0);
  EXPECT_EQ(touch.at(Vec3(0.6, 0.1, 0.01), 0.05).size, 0);
}

TEST(SurfaceMinima, OpenSheetIsTouchedAtItsRim) {
  const Touch touch(sheet(1.0, 1.0, 4, 4));
  const MinimumList found = touch.at(Vec3(0.53, 0.1, 0.04), 0.06);
  ASSERT_EQ(found.size, 1);
  EXPECT_NEAR(found.items[0].distance, 0.05, 1e-15);
  EXPECT_NEAR((found.items[0].normal - Vec3(0.6, 0.0, 0.8)).norm(), 0.0, 1e-14);
}

TEST(SurfaceMinima, ConvexEdgeGivesOneContactAllTheWayRound) {
  const Touch touch(box(Vec3(0.4, 0.4, 0.4), 3));
  for (int k = -20; k <= 110; ++k) {
    const double angle = k * kPi / 180.0;
    const Vec3 centre = Vec3(0.2, 0.013, 0.2) + 0.045 * Vec3(std::cos(angle), 0.0, std::sin(angle));
    const MinimumList found = touch.at(centre, 0.05);
    ASSERT_EQ(found.size, 1) << k << " degrees";
    const double expected = angle < 0.0         ? centre.x() - 0.2
                            : angle > 0.5 * kPi ? centre.z() - 0.2
                                                : 0.045;
    EXPECT_NEAR(found.items[0].distance, expected, 1e-14) << k << " degrees";
  }
}

TEST(SurfaceMinima, ConvexVertexGivesOneContact) {
  const Touch touch(box(Vec3(0.4, 0.4, 0.4), 2));
  const Vec3 corner(0.2, 0.2, 0.2);
  for (const Vec3& way : {Vec3(1, 1, 1), Vec3(1, 0.1, 0), Vec3(1, 0, 0), Vec3(0.2, 1, 3)}) {
    const MinimumList found = touch.at(corner + 0.03 * way.normalized(), 0.05);
    ASSERT_EQ(found.size, 1) << way.transpose();
    EXPECT_NEAR(found.items[0].distance, 0.03, 1e-14);
  }
}

TEST(SurfaceMinima, GrooveGivesTwoContactsAndARoomCornerThree) {
  const Touch groove(foldedSheet(0.5, -0.5 * kPi));
  const MinimumList two = groove.at(Vec3(0.0, 0.01, 0.045 * std::sqrt(2.0)), 0.05);
  ASSERT_EQ(two.size, 2);
  for (const SurfaceMinimum& minimum : two) {
    EXPECT_NEAR(minimum.distance, 0.045, 1e-15);
    EXPECT_NEAR(minimum.normal.z(), std::sqrt(0.5), 1e-15);
  }
  EXPECT_NEAR(two.items[0].normal.x() + two.items[1].normal.x(), 0.0, 1e-15);
  EXPECT_EQ(Touch(roomCorner(0.5)).at(Vec3(0.04, 0.045, 0.03), 0.05).size, 3);
}

TEST(SurfaceMinima, SmoothValleyCountsOnceTheDeeperSide) {
  const Touch touch(foldedSheet(0.5, -20.0 * kPi / 180.0));  // below the crease angle: one patch
  const MinimumList found = touch.at(Vec3(0.001, 0.0, 0.046), 0.05);
  ASSERT_EQ(found.size, 1);
  // The right side, whose normal leans left, is nearer to a centre on the right.
  EXPECT_LT(found.items[0].normal.x(), 0.0);
}

TEST(SurfaceMinima, ThinPlateIsTouchedOnceRoundItsRim) {
  const Touch touch(box(Vec3(0.4, 0.4, 0.012), 4));
  for (const double angle : {0.0, 0.3, 1.0, 1.5, -0.3, -1.2}) {
    const Vec3 centre = Vec3(0.2, 0.02, 0.0) + 0.022 * Vec3(std::cos(angle), 0.0, std::sin(angle));
    EXPECT_EQ(touch.at(centre, 0.024).size, 1) << angle;
  }
}

TEST(SurfaceMinima, AbuttingPartsAreOneFlat) {
  const Touch conforming({box(Vec3(0.2, 0.2, 0.1), 2),
                          moved(box(Vec3(0.2, 0.2, 0.1), 2), Mat3::Identity(), Vec3(0.2, 0, 0))});
  const Touch mismatched({box(Vec3(0.2, 0.2, 0.1), 2),
                          moved(box(Vec3(0.2, 0.3, 0.1), 3), Mat3::Identity(), Vec3(0.2, 0, 0))});
  for (int k = -20; k <= 20; ++k) {
    const Vec3 centre(0.1 + 0.001 * k, 0.013, 0.05 + 0.045);
    for (const Touch* touch : {&conforming, &mismatched}) {
      const MinimumList found = touch->at(centre, 0.05);
      ASSERT_EQ(found.size, 1) << k;
      EXPECT_NEAR(found.items[0].distance, 0.045, 1e-14);
    }
  }
}

TEST(SurfaceMinima, NearestMinimumIsTheNearestPointByBruteForce) {
  const TriangleMesh mesh = moved(icosphere(2, 0.3), someRotation(), Vec3::Zero());
  const Touch touch(mesh);
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform(-1.0, 1.0);
  for (int trial = 0; trial < 2000; ++trial) {
    const Vec3 centre = (0.302 + 0.04 * std::abs(uniform(random))) *
                        Vec3(uniform(random), uniform(random), uniform(random)).normalized();
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      const Vec3 point =
          closestPointOnTriangle(centre, mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2))
              .point;
      nearest = std::min(nearest, (centre - point).norm());
    }
    const MinimumList found = touch.at(centre, 0.05);
    ASSERT_EQ(found.size, 1);
    EXPECT_NEAR(found.items[0].distance, nearest, 1e-15);
  }
}

TEST(SurfaceMinima, DoNotDependOnOrderOrGuess) {
  // A rough closed surface with creases, hollows and spikes.
  TriangleMesh rough = icosphere(2, 0.3);
  std::mt19937 random(11);
  std::uniform_real_distribution<double> uniform(-1.0, 1.0);
  for (Vec3& vertex : rough.vertices) vertex *= 1.0 + 0.1 * uniform(random);
  const Touch touch(rough);
  std::vector<std::uint32_t> order = touch.all();
  int contacts = 0;
  for (int trial = 0; trial < 3000; ++trial) {
    const Vec3 centre = 0.34 * Vec3(uniform(random), uniform(random), uniform(random)).normalized();
    const MinimumList plain = touch.at(centre, 0.08);
    std::shuffle(order.begin(), order.end(), random);
    MinimumList shuffled;
    touch.minima().find(centre, 0.08, order, {order.data() + 5, 4}, shuffled);
    ASSERT_EQ(plain.size, shuffled.size);
    for (int k = 0; k < plain.size; ++k) {
      const auto at = static_cast<std::size_t>(k);
      EXPECT_EQ(plain.items[at].triangle, shuffled.items[at].triangle);
      EXPECT_EQ(plain.items[at].point, shuffled.items[at].point);
    }
    contacts += plain.size;
  }
  EXPECT_GT(contacts, 3000);  // some centres touch two patches, or the test shows little
}

TEST(SurfaceMinima, TrianglesDismissedAsTooFarHoldNoMinimum) {
  const Touch touch(moved(box(Vec3(0.2, 0.3, 0.1), 3), someRotation(), Vec3::Zero()));
  std::mt19937 random(3);
  std::uniform_real_distribution<double> uniform(-0.25, 0.25);
  const double radius = 0.04, slack = 0.01;
  for (int trial = 0; trial < 5000; ++trial) {
    const Vec3 centre(uniform(random), uniform(random), uniform(random));
    const Vec3 shift =
        0.999 * slack * Vec3(uniform(random), uniform(random), uniform(random)).normalized();
    for (const SurfaceMinimum& minimum : touch.at(centre + shift, radius))
      EXPECT_TRUE(touch.minima().mayTouch(minimum.triangle, centre, radius, slack));
  }
}

}  // namespace holdground
