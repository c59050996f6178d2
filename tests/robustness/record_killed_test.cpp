#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>

#include "postprocess/read/record_reader.hpp"
#include "solver/core/errors.hpp"
#include "solver/record/record_writer.hpp"
#include "tests/support/record_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

/// Runs `work` in a child process and returns its process id.
template <class Work>
pid_t inChild(Work&& work) {
  const pid_t child = fork();
  if (child == 0) {
    int status = 1;
    try {
      status = work();
    } catch (...) {
    }
    _exit(status);
  }
  return child;
}

void writeUntilKilled(const std::filesystem::path& path, const RunDescription& run,
                      int firstFrameWritten, LiveReading live) {
  RecordWriter writer(path, run, live);
  for (std::size_t k = 0;; ++k) {
    for (std::size_t i = 10 * k; i < 10 * (k + 1); ++i) writer.appendSeries(samples::row(i));
    writer.appendFrame(samples::frame(run, k % 50));
    if (k == 0 && write(firstFrameWritten, "x", 1) != 1) return;
  }
}

/// Starts a writer, kills it `delay` microseconds after its first frame was there.
void killAWriter(const std::filesystem::path& path, const RunDescription& run, useconds_t delay,
                 LiveReading live = LiveReading::kWherePossible) {
  int ends[2];
  ASSERT_EQ(pipe(ends), 0);
  const pid_t child = inChild([&] {
    writeUntilKilled(path, run, ends[1], live);
    return 0;
  });
  char byte = 0;
  ASSERT_EQ(read(ends[0], &byte, 1), 1);
  usleep(delay);
  ASSERT_EQ(kill(child, SIGKILL), 0);
  ASSERT_EQ(waitpid(child, nullptr, 0), child);
  close(ends[0]);
  close(ends[1]);
}

class KilledWriterModes : public ::testing::TestWithParam<LiveReading> {};

TEST_P(KilledWriterModes, LeavesAReadableRecordThatCanBeResumed) {
  const RunDescription run = samples::description(2000);
  for (int attempt = 0; attempt < 10; ++attempt) {
    const TemporaryFolder directory;
    const auto path = directory / "record.h5";
    killAWriter(path, run, static_cast<useconds_t>(1000 + 2933 * attempt), GetParam());
    std::size_t frames = 0;
    {
      const RecordReader reader(path);
      frames = reader.frameCount();
      const auto series = reader.readSeries();
      ASSERT_GE(frames, 1u);
      ASSERT_GE(series.size(), 10 * frames);
      for (std::size_t k = 0; k < series.size(); ++k)
        ASSERT_EQ(samples::difference(series[k], samples::row(k)), "") << "row " << k;
      for (std::size_t k = 0; k < frames; ++k)
        ASSERT_EQ(reader.readFrame(k).time, samples::frame(run, k % 50).time);
      EXPECT_FALSE(reader.closing().has_value());
    }
    const RecordPosition checkpoint{10 * (frames / 2), frames / 2};
    {
      RecordWriter writer = RecordWriter::resume(path, checkpoint, GetParam());
      for (std::size_t i = checkpoint.seriesRows; i < 200; ++i)
        writer.appendSeries(samples::row(i));
      writer.appendFrame(samples::frame(run, 7));
      writer.close(samples::closing());
    }
    const RecordReader reader(path);
    const auto series = reader.readSeries();
    ASSERT_EQ(reader.frameCount(), frames / 2 + 1);
    ASSERT_EQ(series.size(), std::max<std::size_t>(200, checkpoint.seriesRows));
    for (std::size_t k = 0; k < series.size(); ++k)
      ASSERT_EQ(samples::difference(series[k], samples::row(k)), "") << "row " << k;
    ASSERT_TRUE(reader.closing().has_value());
  }
}

INSTANTIATE_TEST_SUITE_P(Modes, KilledWriterModes,
                         ::testing::Values(LiveReading::kWherePossible, LiveReading::kOff));

TEST(KilledWriter, CanBeWatchedFromAnotherProcess) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(2000);
  const auto path = directory / "record.h5";
  int ends[2];
  ASSERT_EQ(pipe(ends), 0);
  const pid_t child = inChild([&] {
    writeUntilKilled(path, run, ends[1], LiveReading::kWherePossible);
    return 0;
  });
  char byte = 0;
  ASSERT_EQ(read(ends[0], &byte, 1), 1);
  std::size_t seen = 0;
  for (int look = 0; look < 40; ++look) {
    const RecordReader reader(path);
    const std::size_t frames = reader.frameCount();
    const auto series = reader.readSeries();
    EXPECT_GE(frames, std::max<std::size_t>(seen, 1));
    EXPECT_EQ(reader.readFrame(frames - 1).grainPosition.size(), 2000u);
    EXPECT_EQ(samples::difference(series.back(), samples::row(series.size() - 1)), "");
    seen = frames;
  }
  kill(child, SIGKILL);
  waitpid(child, nullptr, 0);
  close(ends[0]);
  close(ends[1]);
}

TEST(FullDisk, IsOneLineAndKeepsWhatWasWritten) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(2000);
  const auto path = directory / "record.h5";
  // A limit on the size of files stands in for a full disk: the write fails in the same place.
  const pid_t child = inChild([&] {
    signal(SIGXFSZ, SIG_IGN);
    RecordWriter writer(path, run);
    const rlimit limit{2'000'000, 2'000'000};
    setrlimit(RLIMIT_FSIZE, &limit);
    try {
      for (std::size_t k = 0; k < 5000; ++k) {
        for (std::size_t i = 10 * k; i < 10 * (k + 1); ++i) writer.appendSeries(samples::row(i));
        writer.appendFrame(samples::frame(run, k % 50));
      }
    } catch (const SystemError& error) {
      const std::string text = error.what();
      const bool good = text.find("File too large") != std::string::npos &&
                        text.find(path.string()) != std::string::npos &&
                        text.find('\n') == std::string::npos;
      return good ? 42 : 2;
    }
    return 3;
  });
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status)) << "signal " << WTERMSIG(status);
  ASSERT_EQ(WEXITSTATUS(status), 42);
  const RecordReader reader(path);
  const auto series = reader.readSeries();
  ASSERT_GE(reader.frameCount(), 10u);
  for (std::size_t k = 0; k < series.size(); ++k)
    ASSERT_EQ(samples::difference(series[k], samples::row(k)), "") << "row " << k;
}

TEST(FullDisk, AtTheStartLeavesNothingBehind) {
  const TemporaryFolder directory;
  const pid_t child = inChild([&] {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{50'000, 50'000};
    setrlimit(RLIMIT_FSIZE, &limit);
    try {
      const RecordWriter writer(directory / "record.h5", samples::description(5000));
    } catch (const SystemError&) {
      return 42;
    }
    return 3;
  });
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status)) << "signal " << WTERMSIG(status);
  EXPECT_EQ(WEXITSTATUS(status), 42);
  EXPECT_TRUE(std::filesystem::is_empty(directory.path()));
}

TEST(RecordWriter, NamesTheFileItCannotCreate) {
  try {
    const RecordWriter writer("/nonexistent/directory/record.h5", samples::description(5));
    FAIL();
  } catch (const SystemError& error) {
    EXPECT_NE(std::string(error.what()).find("/nonexistent/directory/record.h5"),
              std::string::npos);
    EXPECT_NE(std::string(error.what()).find("No such file or directory"), std::string::npos)
        << error.what();
  }
}

class Refused : public ::testing::Test {
 protected:
  void SetUp() override {
    const RunDescription run = samples::description(300);
    RecordWriter writer(path_, run);
    for (std::size_t k = 0; k < 10; ++k) {
      writer.appendSeries(samples::row(k));
      writer.appendFrame(samples::frame(run, k));
    }
    writer.close(samples::closing());
  }
  /// Text of the InputError of reading everything there is.
  std::string complaint() const {
    try {
      const RecordReader reader(path_);
      reader.readSeries();
      for (std::size_t k = 0; k < reader.frameCount(); ++k) reader.readFrame(k);
      reader.closing();
    } catch (const InputError& error) {
      return error.what();
    }
    return "";
  }
  const TemporaryFolder directory_;
  const std::filesystem::path path_ = directory_ / "record.h5";
};

TEST_F(Refused, MissingFile) {
  std::filesystem::remove(path_);
  EXPECT_EQ(complaint(), "there is no record '" + path_.string() + "'");
}

TEST_F(Refused, FileThatIsNotHdf5) {
  std::ofstream(path_) << "time,load\n";
  EXPECT_EQ(complaint(), "'" + path_.string() + "' is not a record: not an HDF5 file");
}

TEST_F(Refused, EmptyFile) {
  std::ofstream(path_).close();
  EXPECT_EQ(complaint(), "'" + path_.string() + "' is not a record: not an HDF5 file");
}

TEST_F(Refused, TruncatedFile) {
  const auto size = std::filesystem::file_size(path_);
  for (const double share : {0.95, 0.7, 0.4, 0.1}) {
    std::filesystem::resize_file(path_, static_cast<std::uintmax_t>(share * double(size)));
    EXPECT_NE(complaint(), "") << share;
    EXPECT_EQ(complaint().find('\n'), std::string::npos);
  }
}

TEST_F(Refused, DamagedBytesNeverCrashTheReader) {
  const auto size = static_cast<std::streamoff>(std::filesystem::file_size(path_));
  const auto pristine = directory_ / "pristine.h5";
  std::filesystem::copy_file(path_, pristine);
  int refused = 0;
  for (int k = 0; k < 60; ++k) {
    std::filesystem::copy_file(pristine, path_, std::filesystem::copy_options::overwrite_existing);
    {
      std::fstream file(path_, std::ios::in | std::ios::out | std::ios::binary);
      file.seekp(size * k / 60);
      file << std::string(64, '\x5a');
    }
    if (!complaint().empty()) ++refused;
  }
  EXPECT_GT(refused, 5);  // metadata and packed frames are checked, plain numbers are not
}

TEST_F(Refused, ResumePastTheEnd) {
  EXPECT_THROW(RecordWriter::resume(path_, {11, 10}), InputError);
  EXPECT_THROW(RecordWriter::resume(path_, {10, 11}), InputError);
  EXPECT_EQ(complaint(), "");
  EXPECT_FALSE(std::filesystem::exists(path_.string() + ".new"));
}

}  // namespace
}  // namespace holdground
