// What a killed writer leaves at every instant, without waiting for the luck of a kill: its writes
// are noted, then replayed one by one. A kill stops a write between two pages of the page cache, so
// every page boundary inside a write is an instant, too.

#include <gtest/gtest.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <string>
#include <vector>

#include "postprocess/read/record_reader.hpp"
#include "solver/record/record_skeleton.hpp"
#include "solver/record/record_writer.hpp"
#include "tests/support/record_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

constexpr std::size_t kPage = 4096;  // bytes; the smallest unit a write is stopped at

/// Bytes written at `offset`; without bytes the file was given that size.
struct Write {
  std::size_t offset = 0;
  std::string bytes;
  std::size_t end() const { return offset + bytes.size(); }
  /// HDF5 begins every block of its own with a signature of four capitals.
  bool isMetadata() const {
    return bytes.size() > 4 && std::all_of(bytes.begin(), bytes.begin() + 4,
                                           [](char c) { return c >= 'A' && c <= 'Z'; });
  }
};

/// Where writes are noted at the moment; null: nowhere.
std::vector<Write>* noted = nullptr;

}  // namespace
}  // namespace holdground

/// Stand before the system's for this program, HDF5 included.
extern "C" ssize_t pwrite(int fd, const void* data, std::size_t bytes, off_t offset) {
  const ssize_t written = syscall(SYS_pwrite64, fd, data, bytes, offset);
  if (written > 0 && holdground::noted != nullptr)
    holdground::noted->push_back(
        {static_cast<std::size_t>(offset),
         {static_cast<const char*>(data), static_cast<std::size_t>(written)}});
  return written;
}
extern "C" ssize_t pwrite64(int fd, const void* data, std::size_t bytes, off64_t offset) {
  return pwrite(fd, data, bytes, offset);
}
extern "C" int ftruncate(int fd, off_t size) noexcept {
  if (holdground::noted != nullptr)
    holdground::noted->push_back({static_cast<std::size_t>(size), ""});
  return static_cast<int>(syscall(SYS_ftruncate, fd, size));
}
extern "C" int ftruncate64(int fd, off64_t size) noexcept { return ftruncate(fd, size); }

namespace holdground {
namespace {

class Noting {
 public:
  explicit Noting(std::vector<Write>& writes) { noted = &writes; }
  ~Noting() { noted = nullptr; }
};

/// Metadata blocks among `writes`, and those of them that a kill could tear.
std::pair<std::size_t, std::size_t> metadataAndTearable(const std::vector<Write>& writes) {
  std::size_t metadata = 0, tearable = 0;
  for (const auto& write : writes) {
    if (!write.isMetadata()) continue;
    ++metadata;
    if (write.offset / kPage != (write.end() - 1) / kPage) ++tearable;
  }
  return {metadata, tearable};
}

/// A copy of a record on which writes are done again, and what must hold at every instant.
class Replay {
 public:
  Replay(std::filesystem::path path, const RunDescription& run, LiveReading live)
      : path_(std::move(path)), run_(run), live_(live) {}

  void upTo(const Write& write, std::size_t bytes) {
    if (write.bytes.empty()) {
      std::filesystem::resize_file(path_, write.offset);
      return;
    }
    std::fstream file(path_, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(write.offset));
    file.write(write.bytes.data(), static_cast<std::streamsize>(bytes));
  }
  /// Everything that was whole before can be read, and is right.
  void isWhole() {
    const RecordReader reader(path_);
    ASSERT_GE(reader.frameCount(), frames_);
    frames_ = reader.frameCount();
    const auto series = reader.readSeries();
    ASSERT_GE(series.size(), 10 * frames_);
    for (std::size_t k = 0; k < series.size(); ++k)
      ASSERT_EQ(samples::difference(series[k], samples::row(k)), "") << "row " << k;
    for (std::size_t k = 0; k < frames_; ++k)
      ASSERT_EQ(reader.readFrame(k).time, samples::frame(run_, k).time);
    reader.closing();
  }
  void canBeResumed() {
    const std::filesystem::path copy = path_.string() + ".copy";
    std::filesystem::copy_file(path_, copy, std::filesystem::copy_options::overwrite_existing);
    RecordWriter writer = RecordWriter::resume(copy, {10 * frames_, frames_}, live_);
    writer.appendFrame(samples::frame(run_, frames_));
    writer.close(samples::closing());
    const RecordReader reader(copy);
    ASSERT_EQ(reader.frameCount(), frames_ + 1);
    ASSERT_EQ(reader.readSeries().size(), 10 * frames_);
  }
  std::size_t frames() const { return frames_; }

 private:
  std::filesystem::path path_;
  const RunDescription& run_;
  LiveReading live_;
  std::size_t frames_ = 0;
};

class StoppedWriterModes : public ::testing::TestWithParam<LiveReading> {};

TEST_P(StoppedWriterModes, LeavesAReadableRecordAtEveryInstant) {
  constexpr std::size_t kFrames = 2;
  constexpr std::size_t kResumeEvery = 25;  // instants
  const TemporaryFolder directory;
  const RunDescription run = samples::description(300);
  const auto path = directory / "record.h5", replayed = directory / "replayed.h5";
  std::vector<Write> writes;
  {
    RecordWriter writer(path, run, GetParam());
    std::filesystem::copy_file(path, replayed);
    const Noting noting(writes);
    for (std::size_t k = 0; k < kFrames; ++k) {
      for (std::size_t i = 10 * k; i < 10 * (k + 1); ++i) writer.appendSeries(samples::row(i));
      writer.appendFrame(samples::frame(run, k));
    }
    writer.close(samples::closing());
  }
  ASSERT_GT(writes.size(), 10 * kFrames) << "the pwrite above was not called";
  Replay replay(replayed, run, GetParam());
  for (std::size_t k = 0; k < writes.size(); ++k) {
    const Write& write = writes[k];
    for (std::size_t cut = (write.offset / kPage + 1) * kPage; cut <= write.end(); cut += kPage) {
      replay.upTo(write, cut - write.offset);
      ASSERT_NO_FATAL_FAILURE(replay.isWhole()) << "write " << k << " cut at byte " << cut;
    }
    replay.upTo(write, write.bytes.size());
    ASSERT_NO_FATAL_FAILURE(replay.isWhole()) << "after write " << k;
    if (k % kResumeEvery == 0) {
      ASSERT_NO_FATAL_FAILURE(replay.canBeResumed()) << "after write " << k;
    }
  }
  EXPECT_EQ(replay.frames(), kFrames);
  const auto [metadata, tearable] = metadataAndTearable(writes);
  EXPECT_GT(metadata, 0u);
  EXPECT_EQ(tearable, 0u);
}

INSTANTIATE_TEST_SUITE_P(Modes, StoppedWriterModes,
                         ::testing::Values(LiveReading::kWherePossible, LiveReading::kOff));

/// An index of packed frames of 64 KB and more is where blocks of HDF5's own may come to exceed a
/// page: in its growing arrays after 2036 of them, 256 entries of 16 bytes to a block.
TEST(StoppedWriter, HasNoMetadataThatAKillCouldTearInLongRecords) {
  constexpr std::size_t kGrains = 11000, kFrames = 2060;
  const TemporaryFolder directory;
  const auto path = directory / "record.h5";
  writeSkeleton(path, samples::description(kGrains));
  const hdf5::Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
  const hdf5::Handle file(H5Fopen(path.c_str(), H5F_ACC_RDWR | H5F_ACC_SWMR_WRITE, access),
                          H5Fclose);
  ASSERT_TRUE(file);
  std::vector<Write> writes;
  {
    GrowingSet sets = openGrowing(file);
    const std::vector<std::int16_t> still(3 * kGrains);
    const Noting noting(writes);
    for (std::size_t k = 0; k < kFrames; ++k) {
      sets.frames[kFrameDisplacement].append(H5T_NATIVE_INT16, still.data());
      ASSERT_GE(H5Fflush(file, H5F_SCOPE_GLOBAL), 0);
    }
  }
  const auto [metadata, tearable] = metadataAndTearable(writes);
  EXPECT_GT(metadata, kFrames);
  EXPECT_EQ(tearable, 0u);
}

}  // namespace
}  // namespace holdground
