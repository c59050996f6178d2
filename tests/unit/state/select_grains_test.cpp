#include "solver/state/select_grains.hpp"

#include <gtest/gtest.h>

#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

TEST(SelectGrains, KeepsOrderPropertiesAndContactsOfWhatStays) {
  std::vector<Ball> balls(4);
  for (int k = 0; k < 4; ++k) {
    const auto at = static_cast<std::size_t>(k);
    balls[at].radius = 0.01 * (k + 1);
    balls[at].position.x() = k;
    balls[at].velocity.y() = 10.0 * k;
    balls[at].spin.z() = 100.0 * k;
    balls[at].frozen = k == 3;
  }
  GrainSet set = sceneOf(Domain{}, balls);
  for (const auto& [a, b] : {std::pair{0u, 1u}, {1u, 3u}, {3u, 2u}}) {
    ContactMemory contact;
    contact.a = a;
    contact.b = b;
    contact.tangentialStiffness = a + 10.0 * b;
    contact.dent = 1e-4 * a;
    set.contacts.push_back(contact);
  }
  const GrainSet kept = selectGrains(set, [](std::size_t k) { return k != 1; });
  ASSERT_EQ(kept.size(), 3u);
  EXPECT_EQ(kept.radius, (std::vector<double>{0.01, 0.03, 0.04}));
  EXPECT_EQ(kept.frozen, (std::vector<std::uint8_t>{0, 0, 1}));
  EXPECT_EQ(kept.position[1].x(), 2.0);
  EXPECT_EQ(kept.velocity[2].y(), 30.0);
  EXPECT_EQ(kept.spin[1].z(), 200.0);
  ASSERT_EQ(kept.contacts.size(), 1u);
  EXPECT_EQ(kept.contacts[0].a, 2u);
  EXPECT_EQ(kept.contacts[0].b, 1u);
  EXPECT_EQ(kept.contacts[0].tangentialStiffness, 23.0);
  EXPECT_DOUBLE_EQ(kept.contacts[0].dent, 3e-4);
}

TEST(SelectGrains, StonesGoAsAWhole) {
  GrainSet set = sceneOf(Domain{}, std::vector<Ball>(7));
  Stone first, second;
  first.firstSphere = 1;
  first.places.resize(2);
  second.firstSphere = 4;
  second.places.resize(3);
  second.mass = 5.0;
  set.stones = {first, second};
  // One sphere of the first stone goes, and with it the other; then all ids close up.
  const GrainSet kept = selectGrains(set, [](std::size_t k) { return k != 2; });
  EXPECT_EQ(kept.size(), 5u);
  ASSERT_EQ(kept.stones.size(), 1u);
  EXPECT_EQ(kept.stones[0].firstSphere, 2u);
  EXPECT_EQ(kept.stones[0].mass, 5.0);
}

}  // namespace
}  // namespace holdground
