// holdground-view as a person runs it, on a record that is known: the files it makes and, in the
// picture, enough pixels of steel and of bed.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <thread>

#include "tests/support/picture.hpp"
#include "tests/support/process.hpp"
#include "tests/support/synthetic_record.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

// The synthetic anchor covers a few per cent of the picture and the bed about a quarter; the
// legend alone is 0.3 % of warm pixels.
constexpr double kLeastSteel = 0.005;
constexpr double kLeastBed = 0.10;

ProcessResult view(std::vector<std::string> arguments, const ProcessOptions& options = {}) {
  arguments.insert(arguments.begin(), builtProgram("holdground-view"));
  return runProcess(arguments, options);
}

// One line, from this program, with this status.
void expectError(const ProcessResult& result, int status, const std::string& words) {
  EXPECT_EQ(result.exitStatus, status) << result.describe();
  EXPECT_THAT(result.messages, testing::StartsWith("holdground-view: error: "));
  EXPECT_THAT(result.messages, HasSubstr(words));
  EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1)
      << result.describe();
}

TEST(ViewProgram, MakesChartsPictureAndFilm) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const ProcessResult result = view({folder.path().string(), "--fps", "4"});
  ASSERT_EQ(result.exitStatus, 0) << result.describe();
  for (const char* name : {"charts.svg", "charts.png", "chart_load.svg", "chart_load.png",
                           "chart_embedment.svg", "chart_embedment.png", "chart_attitude.svg",
                           "chart_attitude.png", "picture.png", "film.mp4"}) {
    EXPECT_GT(std::filesystem::file_size(folder / name), 1000u) << name;
    EXPECT_THAT(result.output, HasSubstr(name));
  }
  EXPECT_GT(readPng(folder / "charts.png").colours(), 10u);
}

TEST(ViewProgram, PictureShowsAnchorAndBed) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const ProcessResult result = view({"picture", folder.path().string(), "--size", "1280x720"});
  ASSERT_EQ(result.exitStatus, 0) << result.describe();
  const Picture picture = readPng(folder / "picture.png");
  EXPECT_EQ(picture.width, 1280);
  EXPECT_EQ(picture.height, 720);
  EXPECT_GT(picture.share(looksLikeSteel), kLeastSteel);
  EXPECT_GT(picture.share(looksLikeBed), kLeastBed);
}

// The check above can fail: without the anchor there are no pixels of steel.
TEST(ViewProgram, PictureWithoutAnchorHasNoSteel) {
  const TemporaryFolder folder;
  SyntheticRecord wish;
  wish.anchor = AnchorInPicture::No;
  writeSyntheticRecord(folder.path(), wish);
  ASSERT_EQ(view({"picture", folder.path().string()}).exitStatus, 0);
  const Picture picture = readPng(folder / "picture.png");
  EXPECT_LT(picture.share(looksLikeSteel), 0.1 * kLeastSteel);
  EXPECT_GT(picture.share(looksLikeBed), kLeastBed);
}

// A record that keeps the grains of a region only: a block of bed with the anchor in it.
TEST(ViewProgram, PictureOfARegionShowsAnchorAndLessBed) {
  const TemporaryFolder folder;
  const auto bedShare = [&](GrainsKept grains) {
    SyntheticRecord wish;
    wish.grains = grains;
    writeSyntheticRecord(folder.path(), wish);
    const ProcessResult result = view({"picture", folder.path().string(), "--time", "0"});
    EXPECT_EQ(result.exitStatus, 0) << result.describe();
    const Picture picture = readPng(folder / "picture.png");
    EXPECT_GT(picture.share(looksLikeSteel), kLeastSteel);
    return picture.share(looksLikeBed);
  };
  const double all = bedShare(GrainsKept::All), region = bedShare(GrainsKept::NearTheAnchor);
  // A third of the bed's length is known; the anchor hides some of it.
  EXPECT_GT(region, 0.2 * all);
  EXPECT_LT(region, 0.45 * all);
}

TEST(ViewProgram, FilmLastsAsLongAsThePullOverItsSpeed) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const ProcessResult result =
      view({"film", folder.path().string(), "--speed", "0.5", "--fps", "5", "--size", "480x360"});
  ASSERT_EQ(result.exitStatus, 0) << result.describe();
  const ProcessResult probe =
      runProcess({"ffprobe", "-v", "error", "-count_packets", "-show_entries",
                  "stream=nb_read_packets,codec_name,pix_fmt", "-of", "csv=p=0",
                  (folder / "film.mp4").string()});
  // 2 s at half speed and 5 pictures a second, both ends shown.
  EXPECT_EQ(probe.output, "h264,yuv420p,21\n") << probe.describe();
}

TEST(ViewProgram, OneFrameAndOneSampleAreEnough) {
  const TemporaryFolder folder;
  SyntheticRecord wish;
  wish.samples = 1;
  wish.frames = 1;
  writeSyntheticRecord(folder.path(), wish);
  const ProcessResult result = view({folder.path().string()});
  EXPECT_EQ(result.exitStatus, 0) << result.describe();
  EXPECT_TRUE(std::filesystem::exists(folder / "film.mp4"));
}

TEST(ViewProgram, WritesIntoAnotherFolder) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const std::string other = (folder / "new" / "charts").string();
  const ProcessResult result = view({"charts", (folder / "record.h5").string(), "-o", other});
  EXPECT_EQ(result.exitStatus, 0) << result.describe();
  EXPECT_TRUE(std::filesystem::exists(folder / "new" / "charts" / "charts.png"));
}

TEST(ViewProgram, RefusesARecordWithoutFramesOrSamplesInOneLine) {
  const TemporaryFolder folder;
  SyntheticRecord wish;
  wish.frames = 0;
  writeSyntheticRecord(folder.path(), wish);
  expectError(view({"picture", folder.path().string()}), 2, "no frames");
  expectError(view({"film", folder.path().string()}), 2, "no frames");
  EXPECT_FALSE(std::filesystem::exists(folder / "film.mp4"));
  wish.samples = 0;
  writeSyntheticRecord(folder.path(), wish);
  expectError(view({"charts", folder.path().string()}), 2, "no samples");
}

TEST(ViewProgram, RefusesWhatIsNoRecordInOneLine) {
  const TemporaryFolder folder;
  expectError(view({(folder / "missing").string()}), 2, "no such file or folder");
  expectError(view({folder.path().string()}), 2, "no record.h5");
  expectError(view({writeText(folder / "record.h5", "no record").string()}), 2, "record.h5");
  expectError(view({}), 2, "no record given");
}

TEST(ViewProgram, RefusesWrongOptionsInOneLine) {
  const TemporaryFolder folder;
  const std::string record = folder.path().string();
  writeSyntheticRecord(folder.path());
  expectError(view({"picture", record, "--size", "12x"}), 2, "--size");
  expectError(view({"picture", record, "--size", "10x10"}), 2, "--size");
  expectError(view({"picture", record, "--time", "99"}), 2, "--time");
  expectError(view({"film", record, "--speed", "-1"}), 2, "--speed");
  expectError(view({"charts", record, "--units", "cubits"}), 2, "cubits");
  expectError(view({record, "--frobnicate"}), 2, "--frobnicate");
  expectError(view({"charts", record, "--size", "800x600"}), 2, "found --size 800x600, which");
}

TEST(ViewProgram, SaysWhenItCannotWrite) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const std::string blocked = (writeText(folder / "file", "in the way") / "out").string();
  expectError(view({"charts", folder.path().string(), "-o", blocked}), 3, "cannot make");
}

TEST(ViewProgram, LeavesNothingHalfWrittenWhenTheDiskIsFullAndSaysWhy) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  // Files of at most 4 KiB: the first chart is larger.
  const std::string program = builtProgram("holdground-view");
  const std::string out = (folder / "out").string();
  const ProcessResult result =
      runProcess({"bash", "-c", "trap '' XFSZ; ulimit -f 4; exec \"$0\" charts \"$1\" -o \"$2\"",
                  program, folder.path().string(), out});
  expectError(result, 3, "charts.svg': File too large");
  EXPECT_TRUE(std::filesystem::is_empty(out));
}

TEST(ViewProgram, LeavesNoHalfAFilmWhenItIsStopped) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  const std::string out = (folder / "out").string();
  Process film({builtProgram("holdground-view"), "film", folder.path().string(), "-o", out,
                "--speed", "0.001", "--fps", "100"});
  const auto hasFile = [&] {
    return std::filesystem::is_directory(out) && !std::filesystem::is_empty(out);
  };
  while (film.running() && !hasFile()) std::this_thread::sleep_for(std::chrono::milliseconds(20));
  ASSERT_TRUE(hasFile()) << film.wait().describe();
  film.sendSignal(SIGINT);
  const ProcessResult result = film.wait();
  EXPECT_EQ(result.signal, SIGINT) << result.describe();
  EXPECT_EQ(result.messages,
            "holdground-view: error: stopped by a signal; what was not whole is gone\n");
  EXPECT_FALSE(hasFile());
}

TEST(ViewProgram, WithoutXvfbThereAreStillVectorCharts) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  ProcessOptions bare;
  bare.environment = {{"PATH", folder.path().string()}, {"DISPLAY", ""}};
  const ProcessResult result = view({"charts", folder.path().string()}, bare);
  expectError(result, 3, "install Xvfb");
  EXPECT_TRUE(std::filesystem::exists(folder / "charts.svg"));
}

TEST(ViewProgram, WithoutFfmpegItSaysSo) {
  const TemporaryFolder folder;
  writeSyntheticRecord(folder.path());
  // A search path with the off-screen display and what it starts, but no ffmpeg.
  std::filesystem::create_directory(folder / "programs");
  for (const char* name : {"Xvfb", "xkbcomp", "sh"}) {
    std::filesystem::create_symlink(std::string("/usr/bin/") + name, folder / "programs" / name);
  }
  ProcessOptions bare;
  bare.environment = {{"PATH", (folder / "programs").string()}};
  expectError(view({"film", folder.path().string()}, bare), 3, "install ffmpeg");
  EXPECT_FALSE(std::filesystem::exists(folder / "film.mp4"));
}

TEST(ViewProgram, HelpShowsAnExample) {
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"--help"}, {"picture", "--help"}, {"film", "--help"}}) {
    const ProcessResult result = view(words);
    EXPECT_EQ(result.exitStatus, 0);
    EXPECT_THAT(result.output, HasSubstr("Example: holdground-view"));
  }
}

}  // namespace
}  // namespace holdground
