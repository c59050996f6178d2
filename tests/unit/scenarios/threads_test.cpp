#include "scenarios/cli/threads.hpp"

#include <gtest/gtest.h>
#include <omp.h>
#include <sched.h>

#include <cstdlib>

#include "tests/support/process.hpp"

namespace holdground {
namespace {

/// Puts the number of threads, OMP_NUM_THREADS and the affinity back.
class Threads : public testing::Test {
 protected:
  Threads() { sched_getaffinity(0, sizeof cores_, &cores_); }
  ~Threads() override {
    sched_setaffinity(0, sizeof cores_, &cores_);
    omp_set_num_threads(before_);
    if (wish_.empty())
      unsetenv("OMP_NUM_THREADS");
    else
      setenv("OMP_NUM_THREADS", wish_.c_str(), 1);
  }

 private:
  static std::string wish() {
    const char* text = std::getenv("OMP_NUM_THREADS");
    return text == nullptr ? "" : text;
  }

  cpu_set_t cores_;
  int before_ = omp_get_max_threads();
  std::string wish_ = wish();
};

/// What a program that holdground hands over to finds in its environment.
std::string inheritedBy(const std::map<std::string, std::string>& environment) {
  const TemporaryFolder folder;
  const auto program = folder / "holdground";
  std::filesystem::copy_file(builtProgram("holdground"), program);
  const auto view = writeText(folder / "holdground-view",
                              "#!/bin/sh\necho \"$OMP_WAIT_POLICY/$GOMP_SPINCOUNT/$*\"\n");
  std::filesystem::permissions(view, std::filesystem::perms::owner_all);
  // Words that are not set: the caller of the tests may have set them.
  std::vector<std::string> command = {"env", "-u", "OMP_WAIT_POLICY", "-u", "GOMP_SPINCOUNT"};
  for (const auto& [name, value] : environment) command.push_back(name + "=" + value);
  command.insert(command.end(), {program.string(), "view", "a b", "c"});
  const ProcessResult result = runProcess(command);
  EXPECT_EQ(result.exitStatus, 0) << result.describe();
  return result.output;
}

}  // namespace

TEST_F(Threads, AreAsManyAsTheProcessHasCores) {
  unsetenv("OMP_NUM_THREADS");
  cpu_set_t one;
  CPU_ZERO(&one);
  CPU_SET(sched_getcpu(), &one);
  ASSERT_EQ(sched_setaffinity(0, sizeof one, &one), 0);
  EXPECT_EQ(availableCores(), 1);
  EXPECT_EQ(useThreads(0), "");
  EXPECT_EQ(omp_get_max_threads(), 1);
}

TEST_F(Threads, MoreThanThereAreCoresAreUsedWithAWarning) {
  const int cores = availableCores();
  EXPECT_EQ(useThreads(cores), "");
  const std::string warning = useThreads(cores + 1);
  EXPECT_EQ(omp_get_max_threads(), cores + 1);
  EXPECT_NE(warning.find(std::to_string(cores + 1) + " threads"), std::string::npos) << warning;
  EXPECT_EQ(warning.find('\n'), std::string::npos);
}

TEST_F(Threads, AreAsManyAsTheEnvironmentSaysUnlessTheUserSaysMore) {
  setenv("OMP_NUM_THREADS", "1", 1);
  omp_set_num_threads(1);  // as OpenMP has read it at the start
  EXPECT_EQ(useThreads(0), "");
  EXPECT_EQ(omp_get_max_threads(), 1);
  useThreads(2);
  EXPECT_EQ(omp_get_max_threads(), 2);
}

TEST_F(Threads, SleepAfterAShortWhileAndTheArgumentsStay) {
  EXPECT_EQ(inheritedBy({}), "/1000/a b c\n");
}

TEST_F(Threads, WaitAsTheUserSays) {
  EXPECT_EQ(inheritedBy({{"OMP_WAIT_POLICY", "active"}}), "active//a b c\n");
  EXPECT_EQ(inheritedBy({{"GOMP_SPINCOUNT", "7"}}), "/7/a b c\n");
}

}  // namespace holdground
