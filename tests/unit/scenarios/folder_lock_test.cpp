#include "scenarios/run/folder_lock.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(FolderLock, KeepsASecondOneOutUntilTheFirstGoes) {
  const TemporaryFolder folder;
  std::optional<FolderLock> first(folder.path());
  EXPECT_TRUE(first->isHeld());
  EXPECT_THAT([&] { FolderLock(folder.path()); },
              testing::ThrowsMessage<InputError>(
                  testing::HasSubstr(folder.path().string() + ": another pull is writing there")));
  first.reset();
  EXPECT_NO_THROW(FolderLock(folder.path()));
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST(FolderLock, OfAFolderThatIsNotThereKeepsNobodyOut) {
  EXPECT_FALSE(FolderLock("/no/such/folder").isHeld());
}

}  // namespace holdground
