#include "postprocess/picture/film_frames.hpp"

#include <gtest/gtest.h>

namespace holdground {
namespace {

// Frames lie on whole time steps: 49.58 ms apart where 50 ms were asked for, from half a second
// before the pull.
std::vector<double> recordedTimes(std::size_t count) {
  std::vector<double> times;
  for (std::size_t k = 0; k < count; ++k) times.push_back(-0.5 + 0.04958 * static_cast<double>(k));
  return times;
}

TEST(FilmFrames, RateIsAWholeNumberWhereThatHardlyChangesThePace) {
  EXPECT_EQ(evenFramesPerSecond(1.0, 0.04958), 20.0);
  EXPECT_EQ(evenFramesPerSecond(0.5, 0.0248), 20.0);
  EXPECT_EQ(evenFramesPerSecond(1.0, 0.016667), 20.0);  // every third
  // 2.5 would be 20 % off as 3 or 2.
  EXPECT_DOUBLE_EQ(evenFramesPerSecond(1.0, 0.4), 2.5);
  EXPECT_EQ(evenFramesPerSecond(1.0, 0.0), 20.0);
}

TEST(FilmFrames, StepsOverWholeFramesFromTheBeginningOfThePull) {
  const std::vector<double> times = recordedTimes(101);
  const std::vector<std::size_t> each = filmFrames(times, 11, 0.05);
  ASSERT_EQ(each.size(), 90u);
  for (std::size_t k = 0; k < each.size(); ++k) EXPECT_EQ(each[k], 11 + k);
  const std::vector<std::size_t> second = filmFrames(times, 11, 0.1);
  ASSERT_EQ(second.size(), 45u);
  EXPECT_EQ(second.back(), 11u + 2u * 44u);
}

TEST(FilmFrames, RepeatsFramesThatAreTooFarApart) {
  const std::vector<std::size_t> frames = filmFrames({0.0, 0.1, 0.2}, 0, 0.04);
  EXPECT_EQ(frames, (std::vector<std::size_t>{0, 0, 1, 1, 2, 2}));
}

TEST(FilmFrames, OneFrameAndNoneAreNoTrouble) {
  EXPECT_EQ(filmFrames({0.3}, 0, 0.05), (std::vector<std::size_t>{0}));
  EXPECT_EQ(filmFrames({0.3, 0.3}, 0, 0.05), (std::vector<std::size_t>{0}));
  EXPECT_TRUE(filmFrames({}, 0, 0.05).empty());
}

}  // namespace
}  // namespace holdground
