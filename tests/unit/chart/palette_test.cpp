#include "postprocess/chart/palette.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

// Linear light of an sRGB colour (IEC 61966-2-1).
Vec3 linear(const Colour& c) {
  const auto channel = [](std::uint8_t byte) {
    const double value = byte / 255.0;
    return value <= 0.04045 ? value / 12.92 : std::pow((value + 0.055) / 1.055, 2.4);
  };
  return {channel(c.red), channel(c.green), channel(c.blue)};
}

double luminance(const Colour& c) { return Vec3(0.2126, 0.7152, 0.0722).dot(linear(c)); }

// CIE 1976 L*a*b* of linear sRGB, D65.
Vec3 lab(const Vec3& rgb) {
  Mat3 toXyz;
  toXyz << 0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505;
  const Vec3 xyz = (toXyz * rgb.cwiseMax(0.0)).cwiseQuotient(Vec3(0.9505, 1.0, 1.089));
  const auto root = [](double t) { return t > 0.008856 ? std::cbrt(t) : 7.787 * t + 16.0 / 116.0; };
  const double fx = root(xyz.x()), fy = root(xyz.y()), fz = root(xyz.z());
  return {116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

// What a person without one kind of cone sees: Machado, Oliveira, Fernandes 2009, severity 1
// (matrices from memory).
std::vector<Mat3> waysOfSeeing() {
  Mat3 protan, deutan, tritan;
  protan << 0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116,
      1.051998;
  deutan << 0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940,
      0.968881;
  tritan << 1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367,
      0.303900;
  return {Mat3::Identity(), protan, deutan, tritan};
}

double leastDistance(const Colour& a, const Colour& b) {
  double least = HUGE_VAL;
  for (const Mat3& see : waysOfSeeing()) {
    least = std::min(least, (lab(see * linear(a)) - lab(see * linear(b))).norm());
  }
  return least;
}

// A difference of 20 in L*a*b* is told apart at a glance; just noticeable is about 2.3
// (Mahy, Van Eycken, Oosterlinck 1994, from memory).
constexpr double kAtAGlance = 20.0;

TEST(Palette, LinesStayApartForColourBlindReaders) {
  const Colour lines[] = {palette::kFirst, palette::kSecond, palette::kThird};
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < i; ++j) EXPECT_GT(leastDistance(lines[i], lines[j]), kAtAGlance);
  }
}

TEST(Palette, SteelStaysApartFromEveryGrain) {
  for (int k = 0; k <= 20; ++k) {
    EXPECT_GT(leastDistance(palette::kSteel, palette::speedColour(k / 20.0)), kAtAGlance) << k;
  }
}

TEST(Palette, FasterGrainsAreDarker) {
  double last = 2.0;
  for (int k = 0; k <= 64; ++k) {
    const double now = luminance(palette::speedColour(k / 64.0));
    EXPECT_LT(now, last) << k;
    last = now;
  }
}

TEST(Palette, LayersStayApartAtRestAndLookAlikeInMotion) {
  const Colour first = palette::grainColour(0.0, 0), second = palette::grainColour(0.0, 1);
  EXPECT_GT(leastDistance(first, second), 0.75 * kAtAGlance);  // whole areas, side by side
  EXPECT_GT(leastDistance(second, palette::kSteel), kAtAGlance);
  EXPECT_EQ(first.red, palette::speedColour(0.0).red);  // a bed of one soil looks as it always did
  EXPECT_EQ(palette::grainColour(0.0, 2).red, first.red);
  for (const double fraction : {0.25, 0.6}) {
    EXPECT_EQ(palette::grainColour(fraction, 1).green, palette::speedColour(fraction).green);
    EXPECT_EQ(palette::grainColour(fraction, 0).green, palette::speedColour(fraction).green);
  }
}

TEST(Palette, SpeedsOffTheScaleTakeItsEnds) {
  const Colour rest = palette::speedColour(0.0), top = palette::speedColour(1.0);
  EXPECT_EQ(palette::speedColour(-1.0).red, rest.red);
  EXPECT_EQ(palette::speedColour(std::nan("")).red, rest.red);
  EXPECT_EQ(palette::speedColour(7.0).red, top.red);
}

}  // namespace
}  // namespace holdground
