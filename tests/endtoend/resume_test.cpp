// A pull that was killed and resumed is, bit for bit, the pull that was not.

#include <gtest/gtest.h>
#include <signal.h>

#include <thread>

#include "postprocess/read/record_reader.hpp"
#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

/// Starts a pull and waits until its record holds this many rows and a checkpoint is there.
void pullUntil(const std::filesystem::path& trial, const std::filesystem::path& run, double share,
               std::size_t wholeRows, int signal, ProcessResult& result) {
  RunningHoldground pull({"pull", trial.string(), "-o", run.string(), "--threads", "2"});
  while (pull.running()) {
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    if (!std::filesystem::exists(run / "checkpoint.bin")) continue;
    if (RecordReader(run / "record.h5").readSeries().size() > share * wholeRows) break;
  }
  ASSERT_TRUE(pull.running()) << "the pull ended before it could be stopped\n"
                              << pull.wait().describe();
  pull.sendSignal(signal);
  result = pull.wait();
}

void expectSameRun(const std::filesystem::path& resumed, const std::filesystem::path& whole) {
  EXPECT_EQ(readSummary(resumed).at("state_hash"), readSummary(whole).at("state_hash"));
  const RecordReader a(resumed / "record.h5"), b(whole / "record.h5");
  EXPECT_EQ(a.frameTimes(), b.frameTimes());
  const auto rowsA = a.readSeries(), rowsB = b.readSeries();
  ASSERT_EQ(rowsA.size(), rowsB.size());
  for (std::size_t k = 0; k < rowsA.size(); ++k) {
    ASSERT_EQ(rowsA[k].step, rowsB[k].step) << "row " << k;
    ASSERT_EQ(rowsA[k].load, rowsB[k].load) << "row " << k;
    ASSERT_EQ(rowsA[k].centreOfMass, rowsB[k].centreOfMass) << "row " << k;
    ASSERT_EQ(rowsA[k].energyFriction, rowsB[k].energyFriction) << "row " << k;
  }
}

class Resume : public testing::TestWithParam<int> {};

}  // namespace

TEST_P(Resume, EqualsThePullThatWasNotStopped) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.4 m");
  const auto whole = folder / "whole", stopped = folder / "stopped";
  const ProcessResult unbroken =
      runHoldground({"pull", trial.string(), "-o", whole.string(), "--threads", "2"});
  ASSERT_EQ(unbroken.exitStatus, 0) << unbroken.describe();
  const std::size_t rows = RecordReader(whole / "record.h5").readSeries().size();

  ProcessResult ended;
  pullUntil(trial, stopped, 0.4, rows, GetParam(), ended);
  if (GetParam() == SIGKILL) {
    EXPECT_EQ(ended.signal, SIGKILL);
  } else {
    EXPECT_EQ(ended.exitStatus, 128 + GetParam()) << ended.describe();
  }
  const RecordReader left(stopped / "record.h5");
  EXPECT_FALSE(left.closing().has_value());
  EXPECT_GT(left.frameCount(), 1U);
  EXPECT_GT(left.readFrame(left.frameCount() - 1).grainPosition.size(), 0U);

  const ProcessResult resumed =
      runHoldground({"pull", trial.string(), "-o", stopped.string(), "--threads", "1", "--resume"});
  ASSERT_EQ(resumed.exitStatus, 0) << resumed.describe();
  expectSameRun(stopped, whole);
}

INSTANTIATE_TEST_SUITE_P(AfterSignal, Resume, testing::Values(SIGKILL, SIGTERM),
                         [](const auto& suite) {
                           return suite.param == SIGKILL ? "Kill" : "Term";
                         });

TEST(PullFolder, BelongsToOnePullAtATime) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.4 m");
  const std::vector<std::string> pull = {"pull", trial.string(), "-o", (folder / "run").string()};
  RunningHoldground first(pull);
  while (first.running() && !std::filesystem::exists(folder / "run/record.h5"))
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  for (const char* more : {"--threads=1", "--resume"}) {
    std::vector<std::string> other = pull;
    other.push_back(more);
    const ProcessResult second = runHoldground(other);
    ASSERT_TRUE(first.running()) << "the first ended before the second could be refused";
    EXPECT_EQ(second.exitStatus, 2) << second.describe();
    EXPECT_NE(second.messages.find("another pull is writing there"), std::string::npos)
        << second.describe();
  }
  const ProcessResult ended = first.wait();
  EXPECT_EQ(ended.exitStatus, 0) << ended.describe();
  EXPECT_TRUE(RecordReader(folder / "run/record.h5").closing().has_value());
}

TEST(ResumeRefused, OfACompleteRunSaysThatItIsComplete) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.05 m");
  const std::vector<std::string> pull = {"pull", trial.string(), "-o", (folder / "run").string()};
  ASSERT_EQ(runHoldground(pull).exitStatus, 0);
  std::vector<std::string> again = pull;
  again.push_back("--resume");
  const ProcessResult result = runHoldground(again);
  EXPECT_EQ(result.exitStatus, 2) << result.describe();
  EXPECT_NE(result.messages.find("nothing to resume: this run is complete"), std::string::npos)
      << result.describe();
}

TEST(ResumeRefused, WithoutACheckpoint) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.4 m");
  const ProcessResult result =
      runHoldground({"pull", trial.string(), "-o", (folder / "none").string(), "--resume"});
  EXPECT_EQ(result.exitStatus, 2) << result.describe();
  EXPECT_FALSE(std::filesystem::exists(folder / "none/record.h5"));
}

}  // namespace holdground
