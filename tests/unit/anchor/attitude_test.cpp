// Signs are checked against where points of the anchor end up, not against the rotation formula.

#include "solver/anchor/attitude.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {
namespace {

// The chord is tilted in the anchor frame, so that chord and frame cannot be confused.
Anchor tiltedAnchor() {
  Anchor anchor;
  anchor.heel = Vec3(-0.3, 0.0, 0.1);
  anchor.toe = Vec3(0.4, 0.0, -0.2);
  return anchor;
}

Vec3 chordInWorld(const Anchor& anchor, const Attitude& attitude) {
  return orientationFor(anchor, attitude) * Vec3(anchor.toe - anchor.heel);
}

}  // namespace

TEST(Attitude, PositivePitchPutsTheToeBelowTheHeel) {
  const Anchor anchor = tiltedAnchor();
  const Vec3 chord = chordInWorld(anchor, {0.5, 0.0, 0.0});
  EXPECT_NEAR(chord.z(), -std::sin(0.5) * chord.norm(), 1e-14);
  EXPECT_GT(chord.x(), 0.0);
}

TEST(Attitude, PositiveListPutsStarboardDown) {
  const Anchor anchor = tiltedAnchor();
  const Vec3 starboard = orientationFor(anchor, {0.0, 0.3, 0.0}) * Vec3(0.0, -1.0, 0.0);
  EXPECT_NEAR(starboard.z(), -std::sin(0.3), 1e-14);
}

TEST(Attitude, PositiveHeadingPutsTheToeToPort) {
  const Anchor anchor = tiltedAnchor();
  const Vec3 chord = chordInWorld(anchor, {0.0, 0.0, 0.2});
  EXPECT_NEAR(chord.y(), std::sin(0.2) * chord.norm(), 1e-14);
}

TEST(Attitude, ZeroLaysTheChordLevelAlongThePull) {
  const Anchor anchor = tiltedAnchor();
  const Vec3 chord = chordInWorld(anchor, {});
  EXPECT_NEAR(chord.x(), chord.norm(), 1e-14);
}

TEST(Attitude, IsReadBackAsItWasSet) {
  const Anchor anchor = tiltedAnchor();
  for (const Attitude set : {Attitude{0.4, -2.9, 3.0}, Attitude{-1.2, 0.7, -1.5}}) {
    const Attitude read = attitudeOf(anchor, orientationFor(anchor, set));
    EXPECT_NEAR(read.pitch, set.pitch, 1e-13);
    EXPECT_NEAR(read.list, set.list, 1e-13);
    EXPECT_NEAR(read.heading, set.heading, 1e-13);
  }
}

}  // namespace holdground
