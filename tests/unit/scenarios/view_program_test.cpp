#include "scenarios/cli/view_program.hpp"

#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

namespace fs = std::filesystem;

fs::path makeProgram(const fs::path& folder, fs::perms permissions) {
  const fs::path program = writeText(folder / "holdground-view", "#!/bin/sh\n");
  fs::permissions(program, permissions);
  return program;
}

TEST(ViewProgram, BesideTheProgramComesBeforeThePath) {
  const TemporaryFolder folder;
  const fs::path beside = makeProgram(folder / "a", fs::perms::owner_all);
  const fs::path inPath = makeProgram(folder / "b", fs::perms::owner_all);
  const std::string path = "/nowhere::" + (folder / "b").string();
  EXPECT_EQ(findViewProgram(folder / "a", path), beside);
  EXPECT_EQ(findViewProgram(folder / "c", path), inPath);
  EXPECT_EQ(findViewProgram({}, path), inPath);
}

TEST(ViewProgram, IsNotAFolderNorAFileThatCannotRun) {
  const TemporaryFolder folder;
  makeProgram(folder / "a", fs::perms::owner_read);
  fs::create_directories((folder / "b") / "holdground-view");
  EXPECT_EQ(findViewProgram(folder / "a", (folder / "b").string()), std::nullopt);
  EXPECT_EQ(findViewProgram(folder / "a", ""), std::nullopt);
}

}  // namespace
}  // namespace holdground
