#include "solver/record/durable_file.hpp"

#include <gtest/gtest.h>

#include <cstdlib>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(DurableFile, MovesIntoPlaceOverAFormerOne) {
  const TemporaryFolder folder;
  writeText(folder / "a", "old");
  writeText(temporaryFor(folder / "a"), "new");
  moveIntoPlace(temporaryFor(folder / "a"), folder / "a");
  EXPECT_EQ(readText(folder / "a"), "new");
  EXPECT_FALSE(std::filesystem::exists(temporaryFor(folder / "a")));
}

TEST(DurableFile, SaysWhatItCannotMoveOrSync) {
  const TemporaryFolder folder;
  EXPECT_THROW(moveIntoPlace(folder / "missing", folder / "a"), SystemError);
  EXPECT_THROW(syncToDisk(folder / "missing"), SystemError);
  EXPECT_NO_THROW(removeQuietly(folder / "missing"));
}

TEST(DurableFile, LockingSwitchedOffIsAnObstacleToLiveReading) {
  const TemporaryFolder folder;
  writeText(folder / "a", "x");
  EXPECT_EQ(obstacleToLiveReading(folder / "a"), "");
  for (const char* setting : {"FALSE", "0"}) {
    setenv("HDF5_USE_FILE_LOCKING", setting, 1);
    EXPECT_NE(obstacleToLiveReading(folder / "a"), "");
  }
  setenv("HDF5_USE_FILE_LOCKING", "BEST_EFFORT", 1);
  EXPECT_EQ(obstacleToLiveReading(folder / "a"), "");
  unsetenv("HDF5_USE_FILE_LOCKING");
}

}  // namespace holdground
