#include "solver/probe/make_room.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/random_grains.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {
namespace {

/// Distance from a point to a box centred on the origin; 0 inside.
double distanceToBox(const Vec3& p, const Vec3& size) {
  return (p.cwiseAbs() - 0.5 * size).cwiseMax(0.0).norm();
}

}  // namespace

TEST(MakeRoom, TakesOutExactlyTheGrainsThatReachIntoABox) {
  const GrainSet bed = randomGrains({});
  const Vec3 size(0.5, 0.3, 0.2), middle(0.45, -0.4, 0.5);  // over both sides of the bed
  const TriangleMesh solid = test::moved(test::box(size, 2), Mat3::Identity(), middle);
  for (const double setback : {0.0, 0.3}) {
    const RoomyBed roomy = makeRoom(bed, std::span(&solid, 1), {setback});
    std::vector<Vec3> left;
    std::size_t frozen = 0;
    for (std::size_t k = 0; k < bed.size(); ++k) {
      const Vec3 away = nearestImage(bed.domain, middle, bed.position[k]);
      if (distanceToBox(away, size) < bed.radius[k] * (1.0 - 2.0 * setback))
        frozen += bed.frozen[k];
      else
        left.push_back(bed.position[k]);
    }
    EXPECT_LT(left.size(), bed.size() - 5);
    EXPECT_EQ(roomy.grains.position, left);
    EXPECT_EQ(roomy.taken, bed.size() - left.size());
    EXPECT_EQ(roomy.takenFrozen, frozen);
  }
}

TEST(MakeRoom, KeepsWhatStandsInAHollow) {
  // A shell with a cavity: two boxes, the inner one inside out.
  TriangleMesh shell = test::box(Vec3(0.6, 0.6, 0.6));
  const TriangleMesh cavity = test::insideOut(test::box(Vec3(0.4, 0.4, 0.4)));
  const auto first = static_cast<std::uint32_t>(shell.vertices.size());
  shell.vertices.insert(shell.vertices.end(), cavity.vertices.begin(), cavity.vertices.end());
  for (const auto& [a, b, c] : cavity.triangles)
    shell.triangles.push_back({first + a, first + b, first + c});
  GrainSet bed;
  bed.domain = {2.0, 2.0, -1.0, 1.0};
  for (const double x : {0.0, 0.17, 0.25, 0.33, 0.5}) {
    bed.position.emplace_back(x, 0.0, 0.0);
    bed.velocity.push_back(Vec3::Zero());
    bed.spin.push_back(Vec3::Zero());
    bed.radius.push_back(0.02);
    bed.frozen.push_back(0);
  }
  const RoomyBed roomy = makeRoom(bed, std::span(&shell, 1), {0.0});
  EXPECT_EQ(roomy.taken, 1u);
  EXPECT_EQ(roomy.grains.position[2].x(), 0.33);
}

TEST(MakeRoom, ContactsFollowTheirGrains) {
  GrainSet bed;
  bed.domain = {2.0, 2.0, -1.0, 1.0};
  for (const double x : {0.0, 0.3, 0.34, 0.38}) {
    bed.position.emplace_back(x, 0.0, 0.0);
    bed.velocity.push_back(Vec3::Zero());
    bed.spin.push_back(Vec3::Zero());
    bed.radius.push_back(0.0201);
    bed.frozen.push_back(0);
  }
  ContactMemory kept, lost;
  kept.a = 2, kept.b = 3, kept.tangentialStiffness = 5.0;
  lost.a = 0, lost.b = 1;
  bed.contacts = {lost, kept};
  const TriangleMesh solid = test::box(Vec3(0.1, 0.1, 0.1));
  const RoomyBed roomy = makeRoom(bed, std::span(&solid, 1), {0.0});
  EXPECT_EQ(roomy.taken, 1u);
  ASSERT_EQ(roomy.grains.contacts.size(), 1u);
  EXPECT_EQ(roomy.grains.contacts[0].a, 1u);
  EXPECT_EQ(roomy.grains.contacts[0].b, 2u);
  EXPECT_EQ(roomy.grains.contacts[0].tangentialStiffness, 5.0);
}

}  // namespace holdground
