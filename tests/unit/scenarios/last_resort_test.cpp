#include "scenarios/cli/last_resort.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <new>
#include <thread>

#include "scenarios/run/run.hpp"
#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

/// Begins a run's file in a folder of its own.
std::filesystem::path begun(const std::filesystem::path& file) {
  std::filesystem::create_directory(file.parent_path());
  return writeText(file, "half");
}

}  // namespace

TEST(LastResortDeathTest, NoMemoryEndsWithOneLineStatusThreeAndNothingHalfWritten) {
  const TemporaryFolder folder;
  const auto file = folder / "run" / "record.h5";
  const auto work = [&file] {
    endAtOnceWhenNothingElseHelps();
    const HalfWritten record(file);
    begun(file);
    std::vector<char> tooLarge(std::numeric_limits<std::ptrdiff_t>::max() / 2);
  };
  EXPECT_EXIT(work(), testing::ExitedWithCode(kSystemFault), "^holdground: not enough memory\n$");
  EXPECT_FALSE(std::filesystem::exists(folder / "run"));
}

TEST(LastResortDeathTest, AnExceptionThatLeavesAThreadEndsWithTheStatusOfItsKind) {
  endAtOnceWhenNothingElseHelps();
  const auto inThread = [](auto error) { std::thread([error] { throw error; }).join(); };
  EXPECT_EXIT(inThread(std::bad_alloc()), testing::ExitedWithCode(kSystemFault),
              "^holdground: not enough memory\n$");
  EXPECT_EXIT(inThread(SystemError("disk full")), testing::ExitedWithCode(kSystemFault),
              "^holdground: disk full\n$");
  EXPECT_EXIT(inThread(std::logic_error("x")), testing::ExitedWithCode(kInternalFault),
              "^holdground: x\n$");
  std::set_new_handler(nullptr);
}

TEST(HalfWritten, GoesWithTheFolderMadeForItUnlessKept) {
  const TemporaryFolder folder;
  const auto file = folder / "run" / "record.h5";
  {
    const HalfWritten record(file);
    begun(file);
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "run"));
  {
    HalfWritten record(file);
    begun(file);
    record.keep();
  }
  EXPECT_TRUE(std::filesystem::exists(file));
}

TEST(HalfWritten, LeavesAFolderThatWasThere) {
  const TemporaryFolder folder;
  {
    const HalfWritten record(folder / "record.h5");
    writeText(folder / "record.h5", "half");
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "record.h5"));
  EXPECT_TRUE(std::filesystem::exists(folder.path()));
}

}  // namespace holdground
