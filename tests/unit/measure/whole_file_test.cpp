#include "postprocess/measure/whole_file.hpp"

#include <gtest/gtest.h>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(WriteWhole, ReplacesAFileOrLeavesItAndSaysWhy) {
  const TemporaryFolder folder;
  writeWhole(folder / "summary.json", "one\n");
  writeWhole(folder / "summary.json", "two\n");
  EXPECT_EQ(readText(folder / "summary.json"), "two\n");
  EXPECT_FALSE(std::filesystem::exists(besideOf(folder / "summary.json")));
  try {
    writeWhole("/nonexistent/folder/summary.json", "x");
    FAIL();
  } catch (const SystemError& error) {
    EXPECT_EQ(std::string(error.what()),
              "cannot write '/nonexistent/folder/summary.json': No such file or directory");
  }
}

}  // namespace holdground
