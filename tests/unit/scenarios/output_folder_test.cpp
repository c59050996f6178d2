#include "scenarios/run/output_folder.hpp"

#include <gtest/gtest.h>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(OutputFolder, IsMadeOnlyWhenAskedFor) {
  const TemporaryFolder folder;
  const auto deep = folder / "a" / "b";
  checkPlace(deep);
  EXPECT_FALSE(std::filesystem::exists(folder / "a"));
  makeFolder(deep);
  EXPECT_TRUE(std::filesystem::is_directory(deep));
  EXPECT_NO_THROW(makeFolder(deep));
}

TEST(OutputFolder, CannotBeAFileOrNothing) {
  const TemporaryFolder folder;
  writeText(folder / "file", "x");
  EXPECT_THROW(checkPlace(folder / "file" / "a"), InputError);
  EXPECT_THROW(checkPlace(""), InputError);
  EXPECT_THROW(makeFolder(folder / "file" / "a"), SystemError);
}

}  // namespace holdground
