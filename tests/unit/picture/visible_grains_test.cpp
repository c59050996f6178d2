#include "postprocess/picture/visible_grains.hpp"

#include <gtest/gtest.h>

#include <random>

namespace holdground {
namespace {

const BedWindow kWindow{-1.0, 1.0, 0.0, 0.5};

SideView slanted() {
  SideView view;
  view.elevation = 0.3;
  return view;
}

TEST(VisibleGrains, ShowsAllOfAnOpenRow) {
  std::vector<SeenGrain> grains;
  for (int k = 0; k < 10; ++k) grains.push_back({Vec3(-0.5 + 0.1 * k, 0.2, 0.0), 0.02, 0.0});
  EXPECT_EQ(visibleGrains(grains, kWindow, slanted(), 0.004).size(), 10u);
}

TEST(VisibleGrains, HidesWhatLiesFarBehindAWall) {
  std::vector<SeenGrain> grains;
  // Four overlapping sheets of grains, and one grain well behind their middle.
  for (int sheet = 0; sheet < 4; ++sheet) {
    for (int i = -10; i <= 10; ++i) {
      for (int j = -10; j <= 10; ++j) {
        grains.push_back({Vec3(0.02 * i, 0.05 + 0.02 * sheet, 0.02 * j), 0.02, 0.0});
      }
    }
  }
  grains.push_back({Vec3(0.0, 0.3, 0.0), 0.02, 9.0});
  SideView level;
  level.elevation = 0.0;
  for (const SeenGrain& grain : visibleGrains(grains, kWindow, level, 0.004)) {
    EXPECT_LT(grain.speed, 1.0);
  }
}

TEST(VisibleGrains, WhatTheCutTookAwayHidesNothing) {
  // In front of the cut but for a sliver: its section is smaller than the grain.
  const SeenGrain cut{Vec3(0.0, -0.09, 0.0), 0.1, 0.0};
  std::vector<SeenGrain> grains;
  for (int k = 0; k < 4; ++k) grains.push_back(cut);
  grains.push_back({Vec3(0.07, 0.05, 0.0), 0.01, 9.0});
  SideView level;
  level.elevation = 0.0;
  const std::vector<SeenGrain> visible = visibleGrains(grains, kWindow, level, 0.002);
  ASSERT_FALSE(visible.empty());
  EXPECT_DOUBLE_EQ(visible.back().speed, 9.0);
}

// Against brute force: the first grain on a line of sight, found by trying all, is never left out.
TEST(VisibleGrains, NeverLeavesOutTheFirstGrainOfALineOfSight) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  std::vector<SeenGrain> grains;
  for (int k = 0; k < 800; ++k) {
    const Vec3 place(unit(random) - 0.5, 0.4 * unit(random), -0.5 * unit(random));
    grains.push_back({place, 0.02 + 0.01 * unit(random), static_cast<double>(k)});
  }
  const SideView view = slanted();
  std::vector<bool> kept(grains.size(), false);
  for (const SeenGrain& grain : visibleGrains(grains, kWindow, view, 0.002)) {
    kept[static_cast<std::size_t>(grain.speed)] = true;
  }
  for (int trial = 0; trial < 2000; ++trial) {
    const Vec3 from(unit(random) - 0.5, 0.0, -0.5 * unit(random));  // on the cut face
    const Vec3 along = -view.towardCamera();
    double nearest = HUGE_VAL;
    std::size_t first = grains.size();
    for (std::size_t k = 0; k < grains.size(); ++k) {
      const Vec3 arm = from - grains[k].position;
      const double half = arm.dot(along);
      const double inside = half * half - arm.squaredNorm() + grains[k].radius * grains[k].radius;
      if (inside < 0.0 || -half + std::sqrt(inside) < 0.0) continue;
      const double enter = std::max(0.0, -half - std::sqrt(inside));
      if (enter < nearest) {
        nearest = enter;
        first = k;
      }
    }
    EXPECT_TRUE(first == grains.size() || kept[first]) << "line " << trial << ", grain " << first;
  }
}

}  // namespace
}  // namespace holdground
