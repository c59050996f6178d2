#include "solver/contact/adhesive_shares.hpp"

#include <gtest/gtest.h>

#include <numeric>
#include <random>

#include "tests/support/contact_meshes.hpp"

namespace holdground {
namespace {

using enum StickyContact::State;

constexpr double kDiameter = 0.04;  // [m]
constexpr double kStress = 1000.0;  // [Pa]

AdhesiveShares sharesOn(const TriangleMesh& mesh) {
  const std::array meshes = {&mesh};
  const std::array adhesion = {kStress};
  return AdhesiveShares(joinSurfaces(meshes), adhesion, kDiameter);
}

StickyContact onTop(double x, double y, StickyContact::State state = kTouching, double z = 0.0) {
  return {Vec3(x, y, z), Vec3::UnitZ(), kDiameter, state};
}

double sumOf(const std::vector<StickyContact>& contacts) {
  return std::accumulate(contacts.begin(), contacts.end(), 0.0,
                         [](double sum, const StickyContact& c) { return sum + c.force; });
}

/// A layer of grains near a plate of 0.4 x 0.4 m, of which every few touch it.
std::vector<StickyContact> layer(int every) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> jitter(-0.2, 0.2);
  std::vector<StickyContact> contacts;
  for (int j = 0; j < 10; ++j)
    for (int i = 0; i < 10; ++i)
      contacts.push_back(
          onTop((i - 4.5 + jitter(random)) * kDiameter, (j - 4.5 + jitter(random)) * kDiameter,
                contacts.size() % static_cast<std::size_t>(every) == 0 ? kTouching : kNear));
  return contacts;
}

}  // namespace

// The sum is that of the pieces: only rounding.
TEST(AdhesiveShares, AddUpToStressTimesCoveredAreaHoweverFewGrainsTouch) {
  for (const int squares : {1, 7, 80}) {
    AdhesiveShares shares = sharesOn(test::sheet(0.4, 0.4, squares, squares));
    for (const int every : {1, 3, 7}) {
      std::vector<StickyContact> contacts = layer(every);
      shares.share(contacts);
      EXPECT_NEAR(sumOf(contacts), kStress * 0.16, 1e-9) << squares << ", " << every;
      for (const StickyContact& contact : contacts)
        if (contact.state == kNear) {
          EXPECT_EQ(contact.force, 0.0);
        }
    }
  }
}

TEST(AdhesiveShares, BareSteelHoldsNothing) {
  AdhesiveShares shares = sharesOn(test::sheet(0.4, 0.4, 4, 4));
  std::vector<StickyContact> one = {onTop(0.01, 0.02)};
  shares.share(one);
  // A disc of a diameter's radius, but whole pieces of half a diameter: those whose middle is in.
  // Their squares' half diagonal is 0.354 of a diameter.
  const double disc = kPi * kDiameter * kDiameter * kStress;
  EXPECT_GT(one[0].force, disc * 0.646 * 0.646);
  EXPECT_LT(one[0].force, disc * 1.354 * 1.354);
  std::vector<StickyContact> none = {onTop(0.0, 0.0, kNear)};
  shares.share(none);
  EXPECT_EQ(none[0].force, 0.0);
}

TEST(AdhesiveShares, PiecesClingToTheNearestGrainInItsDiameters) {
  // A strip: middles of pieces lie at x = +-0.01 and +-0.03 m.
  const double whole = kStress * 0.08 * 0.01;
  AdhesiveShares shares = sharesOn(test::sheet(0.08, 0.01, 8, 1));
  std::vector<StickyContact> contacts = {onTop(-0.021, 0.0), onTop(0.021, 0.0)};
  shares.share(contacts);
  EXPECT_NEAR(contacts[0].force, 0.5 * whole, 1e-12);
  EXPECT_NEAR(contacts[1].force, 0.5 * whole, 1e-12);
  // A grain half as large has a third of the way between them: from 0.023 m on.
  contacts[1].diameter = 0.5 * kDiameter;
  contacts[1].point.x() = 0.045;
  shares.share(contacts);
  EXPECT_NEAR(contacts[0].force, 0.75 * whole, 1e-12);
  EXPECT_NEAR(contacts[1].force, 0.25 * whole, 1e-12);
}

TEST(AdhesiveShares, AGrainHoldsTheSideItLiesOn) {
  AdhesiveShares shares = sharesOn(test::box(Vec3(0.08, 0.08, 0.01)));
  std::vector<StickyContact> contacts;
  for (const double x : {-0.02, 0.02})
    for (const double y : {-0.02, 0.02}) contacts.push_back(onTop(x, y, kTouching, 0.005));
  shares.share(contacts);
  EXPECT_NEAR(sumOf(contacts), kStress * 0.0064, 1e-12);
}

TEST(AdhesiveShares, AreNoneOnSteelThatDoesNotStick) {
  const TriangleMesh mesh = test::sheet(0.4, 0.4, 4, 4);
  const std::array meshes = {&mesh};
  const std::array adhesion = {0.0};
  EXPECT_TRUE(AdhesiveShares(joinSurfaces(meshes), adhesion, kDiameter).empty());
}

}  // namespace holdground
