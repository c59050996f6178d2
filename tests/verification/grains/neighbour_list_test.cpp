// The pair list finds every touching pair, and contacts keep their memory, while grains fly about,
// leave the domain on one side and come back on the other, and change their slots.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "tests/support/beds.hpp"

namespace holdground {
namespace {

using IdPair = std::pair<std::uint32_t, std::uint32_t>;

IdPair inOrder(std::uint32_t a, std::uint32_t b) { return {std::min(a, b), std::max(a, b)}; }

double overlapOf(const GrainSet& set, std::uint32_t a, std::uint32_t b) {
  Vec3 d = set.position[a] - set.position[b];
  d.x() -= set.domain.lengthX * std::round(d.x() / set.domain.lengthX);
  d.y() -= set.domain.lengthY * std::round(d.y() / set.domain.lengthY);
  return set.radius[a] + set.radius[b] - d.norm();
}

std::vector<std::uint32_t> idsBySlot(const GrainKernel& kernel) {
  std::vector<std::uint32_t> ids(kernel.size());
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) ids[slot] = kernel.sample(slot).id;
  return ids;
}

/// Touching pairs the kernel remembers after a step against all pairs of the bed before it, one by
/// one. Those that parted in the step may be remembered or not.
void expectSamePairsAsBruteForce(const GrainSet& set, const GrainSet& after, int stepNumber) {
  std::set<IdPair> known;
  for (const ContactMemory& contact : after.contacts)
    EXPECT_TRUE(known.insert(inOrder(contact.a, contact.b)).second)
        << "step " << stepNumber << ": pair " << contact.a << ", " << contact.b << " twice";
  // Nobody can say whether two spheres touch that are nearer to it than positions are known.
  const double undecided = 1e-8;
  std::size_t touching = 0;
  for (std::uint32_t a = 0; a < set.size(); ++a)
    for (std::uint32_t b = a + 1; b < set.size(); ++b) {
      if (set.frozen[a] && set.frozen[b]) continue;
      const double overlap = overlapOf(set, a, b);
      if (std::abs(overlap) < undecided) continue;
      if (overlap > 0.0 && overlapOf(after, a, b) < undecided) continue;
      const bool found = known.count({a, b}) > 0;
      touching += overlap > 0.0 ? 1 : 0;
      ASSERT_EQ(found, overlap > 0.0) << "step " << stepNumber << ": pair " << a << ", " << b
                                      << ", overlap " << overlap << " m";
    }
  ASSERT_GT(touching, 0u) << "step " << stepNumber;
}

}  // namespace

class NeighbourListTest : public KernelTest {};

TEST_P(NeighbourListTest, FindsSamePairsAsBruteForce) {
  for (const std::uint32_t seed : {1u, 2u, 3u}) {
    CloudShape shape;
    shape.seed = seed;
    shape.speed = 2.0;
    shape.across = 4 + static_cast<int>(seed);
    shape.frozenFloor = seed == 3;
    const GrainSet start = cloudOf(shape);
    const auto kernel = kernelOf(start, weightlessSettings());
    int rebuilds = 0, swaps = 0, wraps = 0;
    std::vector<std::uint32_t> ids = idsBySlot(*kernel);
    GrainSet before = kernel->store();
    steps(*kernel, 100);
    for (int k = 0; k < 300; ++k) {
      rebuilds += kernel->updateNeighbours() ? 1 : 0;
      const GrainSet now = kernel->store();
      kernel->advance();
      if (k % 4 == 0) expectSamePairsAsBruteForce(now, kernel->store(), k);
      if (HasFatalFailure()) return;
    }
    const GrainSet after = kernel->store();
    const std::vector<std::uint32_t> idsAfter = idsBySlot(*kernel);
    for (std::size_t k = 0; k < ids.size(); ++k) {
      swaps += ids[k] != idsAfter[k] ? 1 : 0;
      wraps +=
          std::abs(after.position[k].x() - before.position[k].x()) > 0.5 * start.domain.lengthX;
    }
    EXPECT_GT(rebuilds, 3);
    EXPECT_GT(swaps, 5);
    EXPECT_GT(wraps, 0);
  }
}

// A grain lies in a hollow of three held ones and leans on them with friction; over it, others fly
// about and force rebuild after rebuild. The springs at rest stay what they are.
TEST_P(NeighbourListTest, SpringsAtRestOutliveRebuilds) {
  KernelSettings settings = bedSettings();
  settings.water.density = 0.0;
  CloudShape shape;
  shape.across = 8;
  shape.layers = 3;
  shape.speed = 2.0;
  GrainSet set = cloudOf(shape);
  // High enough not to reach the hollow in the time of the test, about 0.3 s.
  for (Vec3& position : set.position) position.z() += 1.4;
  set.domain.ceilingZ = 4.0;
  const double radius = 0.02, ring = 2.0 * radius / std::sqrt(3.0);
  const auto hollow = static_cast<std::uint32_t>(set.size());
  const auto add = [&](const Vec3& position, bool frozen) {
    set.position.push_back(position);
    set.velocity.push_back(Vec3::Zero());
    set.spin.push_back(Vec3::Zero());
    set.radius.push_back(radius);
    set.frozen.push_back(frozen ? 1 : 0);
  };
  // Across the edge of the domain, so that their contacts wrap.
  const double edge = 0.5 * set.domain.lengthX;
  for (int k = 0; k < 3; ++k) {
    const double angle = 0.2 + 2.0 * kPi * k / 3.0;
    add(Vec3(edge + 1.02 * ring * std::cos(angle), 1.02 * ring * std::sin(angle), -0.5), true);
  }
  add(Vec3(edge, 0.0, -0.5 + 1.62 * radius), false);
  const auto kernel = kernelOf(set, settings);
  const auto springs = [&] {
    std::map<IdPair, Vec3> found;
    for (const ContactMemory& contact : kernel->store().contacts)
      if (contact.a >= hollow && contact.b >= hollow)
        found[inOrder(contact.a, contact.b)] =
            contact.a < contact.b ? contact.tangentialForce : Vec3(-contact.tangentialForce);
    return found;
  };
  steps(*kernel, 1800);
  const std::map<IdPair, Vec3> before = springs();
  ASSERT_EQ(before.size(), 3u);
  const int rebuilds = steps(*kernel, 700);
  EXPECT_GT(rebuilds, 10);
  const std::map<IdPair, Vec3> after = springs();
  ASSERT_EQ(after.size(), 3u);
  const double weight = massOf(settings, radius) * settings.gravity;
  double strongest = 0.0;
  for (const auto& [pair, force] : before) {
    strongest = std::max(strongest, force.norm());
    EXPECT_LE((after.at(pair) - force).norm(), 1e-4 * weight);
  }
  EXPECT_GT(strongest, 1e-3 * weight) << "nothing was kept that could have been lost";
}

TEST_P(NeighbourListTest, BoxFindsSameGrainsAsBruteForce) {
  CloudShape shape;
  shape.speed = 2.0;
  const auto kernel = kernelOf(cloudOf(shape), weightlessSettings());
  steps(*kernel, 150);
  const double length = kernel->domain().lengthX;
  const Vec3 boxes[][2] = {
      {Vec3(-0.05, -0.06, 0.1), Vec3(0.04, 0.1, 0.2)},
      {Vec3(0.5 * length - 0.03, -0.1, 0.0), Vec3(0.5 * length + 0.08, 0.0, 0.3)},
      {Vec3(-2.0 * length, 0.3 * length, 0.1), Vec3(2.0 * length, length, 0.2)},
      // As wide as the domain, a little less, a little more: no slot twice, none missing.
      {Vec3(-0.5 * length, -0.49 * length, 0.0), Vec3(0.5 * length, 0.49 * length, 0.3)},
      {Vec3(-0.21 * length, -0.5 * length, 0.0), Vec3(0.78 * length, 0.51 * length, 0.3)},
      {Vec3(0.1 * length, 0.2 * length, 0.0), Vec3(1.3 * length, 1.7 * length, 0.3)}};
  for (const auto& box : boxes) {
    std::vector<std::uint32_t> found, expected;
    kernel->collectSlotsInBox(box[0], box[1], found);
    for (std::uint32_t slot = 0; slot < kernel->size(); ++slot) {
      const Vec3 at = kernel->sample(slot).position;
      bool inside = false;
      for (int x = -3; x <= 3; ++x)
        for (int y = -3; y <= 3; ++y) {
          const Vec3 image = at + Vec3(x * length, y * length, 0.0);
          inside = inside || ((image.array() >= box[0].array()).all() &&
                              (image.array() <= box[1].array()).all());
        }
      if (inside) expected.push_back(slot);
    }
    EXPECT_GT(expected.size(), 3u);
    EXPECT_EQ(found, expected);
  }
}

HOLDGROUND_ON_EVERY_KERNEL(NeighbourListTest);

}  // namespace holdground
