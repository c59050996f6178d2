#include "solver/record/checkpoint.hpp"

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

struct Counters {
  double time;
  std::uint64_t step;
  bool operator==(const Counters&) const = default;
};

Checkpoint sample() {
  Checkpoint checkpoint;
  std::vector<std::byte> kernel;
  for (int k = 0; k < 5000; ++k) kernel.push_back(static_cast<std::byte>(k * k));
  checkpoint.put("kernel", kernel);
  checkpoint.put("empty", {});
  checkpoint.putValue("counters", Counters{1.5, 12});
  return checkpoint;
}

class CheckpointFile : public ::testing::Test {
 protected:
  void SetUp() override { sample().write(path_); }

  std::string complaint() const {
    try {
      Checkpoint::read(path_);
    } catch (const InputError& error) {
      return error.what();
    }
    return "";
  }
  void replace(std::size_t offset, char byte) const {
    std::fstream file(path_, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(offset));
    file.put(byte);
  }

  const TemporaryFolder folder_;
  const std::filesystem::path path_ = folder_ / "checkpoint.bin";
};

TEST_F(CheckpointFile, ComesBackBitForBit) {
  const Checkpoint read = Checkpoint::read(path_);
  const Checkpoint truth = sample();
  EXPECT_TRUE(std::ranges::equal(read.bytes("kernel"), truth.bytes("kernel")));
  EXPECT_TRUE(read.bytes("empty").empty());
  EXPECT_EQ(read.value<Counters>("counters"), (Counters{1.5, 12}));
  EXPECT_FALSE(std::filesystem::exists(path_.string() + ".new"));
}

TEST_F(CheckpointFile, SaysWhichBlockIsMissingOrOfAnotherSize) {
  const Checkpoint read = Checkpoint::read(path_);
  EXPECT_THROW(read.bytes("rode"), InputError);
  EXPECT_THROW(read.value<double>("counters"), InputError);
}

TEST_F(CheckpointFile, EveryFlippedByteIsNoticed) {
  const std::string pristine = readText(path_);
  for (std::size_t k = 0; k < pristine.size(); k += (k < 120 ? 1 : 61)) {
    replace(k, static_cast<char>(pristine[k] ^ 0x10));
    const std::string text = complaint();
    EXPECT_NE(text, "") << "byte " << k;
    EXPECT_EQ(text.find('\n'), std::string::npos);
    replace(k, pristine[k]);
  }
  EXPECT_EQ(complaint(), "");
}

TEST_F(CheckpointFile, EveryTruncationIsNoticed) {
  for (auto size = std::filesystem::file_size(path_); size > 0;
       size -= std::min<std::uintmax_t>(size, 97)) {
    std::filesystem::resize_file(path_, size - 1);
    EXPECT_NE(complaint(), "") << size;
  }
}

TEST_F(CheckpointFile, TrailingBytesAreNoticed) {
  std::ofstream(path_, std::ios::app | std::ios::binary) << "more";
  EXPECT_NE(complaint().find("damaged"), std::string::npos);
}

TEST_F(CheckpointFile, ForeignFilesOtherVersionsAndMissingFilesAreToldApart) {
  replace(20, 7);
  EXPECT_NE(complaint().find("has version 7"), std::string::npos) << complaint();
  writeText(path_, "time,load\n1,2\n");
  EXPECT_NE(complaint().find("is not a checkpoint"), std::string::npos);
  std::filesystem::remove(path_);
  EXPECT_NE(complaint().find("there is no checkpoint"), std::string::npos);
}

TEST_F(CheckpointFile, AFailedWriteKeepsTheFormerOne) {
  const std::string former = readText(path_);
  const pid_t child = fork();
  if (child == 0) {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{2000, 2000};
    setrlimit(RLIMIT_FSIZE, &limit);
    int status = 3;
    try {
      Checkpoint other = sample();
      other.putValue("time", 2.5);
      other.write(path_);
    } catch (const SystemError&) {
      status = 42;
    }
    _exit(status);
  }
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 42);
  EXPECT_EQ(readText(path_), former);
  EXPECT_FALSE(std::filesystem::exists(path_.string() + ".new"));
}

TEST(Checkpoint, NamesTheFolderItCannotWriteTo) {
  try {
    sample().write("/nonexistent/folder/checkpoint.bin");
    FAIL();
  } catch (const SystemError& error) {
    EXPECT_EQ(std::string(error.what()),
              "cannot write checkpoint '/nonexistent/folder/checkpoint.bin': "
              "No such file or directory");
  }
}

}  // namespace
}  // namespace holdground
