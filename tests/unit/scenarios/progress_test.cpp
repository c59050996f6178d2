#include "scenarios/cli/progress.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace holdground {
namespace {

TEST(DurationText, UsesTwoUnitsAtMostAndRoundsUp) {
  EXPECT_EQ(durationText(0.0), "0 s");
  EXPECT_EQ(durationText(8.2), "9 s");
  EXPECT_EQ(durationText(60.0), "1 min");
  EXPECT_EQ(durationText(139.5), "2 min 20 s");
  EXPECT_EQ(durationText(11100.0), "3 h 5 min");
  EXPECT_EQ(durationText(-1.0), "0 s");
}

class ProgressLine : public testing::Test {
 protected:
  std::ostringstream out_;
  double now_ = 100.0;
};

TEST_F(ProgressLine, PlainStyleWritesALineEveryTenSeconds) {
  Progress progress(out_, ProgressStyle::kPlain, "pull", 0.0, 8.0);
  progress.useClock([this] { return now_; });
  for (int second = 1; second <= 25; ++second) {
    now_ = 100.0 + second;
    progress.update(0.1 * second, 30000000ull * static_cast<unsigned>(second));
  }
  // After 10 s 1 of 8 s is done: 70 s are left.
  EXPECT_EQ(out_.str(),
            "pull 12 %: 1 of 8 s, 30 million grain-steps/s, 1 min 10 s left\n"
            "pull 25 %: 2 of 8 s, 30 million grain-steps/s, 1 min left\n");
}

TEST_F(ProgressLine, TerminalStyleRedrawsOneLineAndEndsIt) {
  {
    Progress progress(out_, ProgressStyle::kTerminal, "pull", 0.0, 8.0);
    progress.useClock([this] { return now_; });
    for (int k = 1; k <= 100; ++k) {
      now_ = 100.0 + 0.01 * k;
      progress.update(0.01 * k, 0);
    }
  }
  const std::string text = out_.str();
  EXPECT_EQ(std::count(text.begin(), text.end(), '\r'), 4);  // every 0.25 s
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 1);
  EXPECT_EQ(text.back(), '\n');
}

TEST_F(ProgressLine, AResumedRunIsTimedFromWhereItStarted) {
  Progress progress(out_, ProgressStyle::kPlain, "pull", 4.0, 8.0);
  progress.useClock([this] { return now_; });
  now_ = 110.0;
  progress.update(5.0, 0);
  EXPECT_EQ(out_.str(), "pull 62 %: 5 of 8 s, 30 s left\n");
}

TEST_F(ProgressLine, AnEndOfWhichOnlyTheLatestIsKnownGivesThatAndNoTimeLeft) {
  Progress progress(out_, ProgressStyle::kPlain, "settle", 0.0, 60.0, ProgressEnd::kLatest);
  progress.useClock([this] { return now_; });
  now_ = 110.0;
  progress.update(0.5, 50000000);
  progress.finish();
  EXPECT_EQ(out_.str(),
            "settle: 0.5 of at most 60 s, 5 million grain-steps/s\n"
            "settle: 0.5 of at most 60 s, 5 million grain-steps/s\n");
}

}  // namespace
}  // namespace holdground
