#include "postprocess/view/video_encoder.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <string>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr int kCannotStart = 127;

// Runs in the child.
[[noreturn]] void becomeEncoder(int pictures, int messages, const std::string& size,
                                const std::string& rate, const std::string& file) {
  const int nowhere = open("/dev/null", O_WRONLY);
  dup2(pictures, STDIN_FILENO);
  dup2(nowhere, STDOUT_FILENO);
  dup2(messages, STDERR_FILENO);
  signal(SIGPIPE, SIG_DFL);
  execlp("ffmpeg", "ffmpeg", "-loglevel", "error", "-y", "-f", "rawvideo", "-pix_fmt", "rgb24",
         "-s", size.c_str(), "-r", rate.c_str(), "-i", "-", "-c:v", "libx264", "-preset",
         "veryfast", "-crf", "20", "-pix_fmt", "yuv420p", "-movflags", "+faststart", "-f", "mp4",
         file.c_str(), static_cast<char*>(nullptr));
  _exit(kCannotStart);
}

std::string firstLine(int pipe) {
  std::string line;
  char c = 0;
  while (read(pipe, &c, 1) == 1 && c != '\n') line += c;
  return line;
}

}  // namespace

VideoEncoder::VideoEncoder(const std::filesystem::path& file, int width, int height,
                           double framesPerSecond)
    : file_(file), unfinished_(file.string() + ".unfinished") {
  signal(SIGPIPE, SIG_IGN);  // an encoder that gives up is reported, not fatal
  int in[2], out[2];
  if (pipe2(in, O_CLOEXEC) != 0 || pipe2(out, O_CLOEXEC) != 0) {
    throw SystemError("cannot open a pipe to ffmpeg");
  }
  const std::string size = fmt::format("{}x{}", width, height);
  const std::string rate = fmt::format("{:g}", framesPerSecond);
  encoder_ = fork();
  if (encoder_ < 0) throw SystemError("cannot start a process for ffmpeg");
  if (encoder_ == 0) becomeEncoder(in[0], out[1], size, rate, unfinished_.string());
  underWay_.emplace(unfinished_, encoder_);
  close(in[0]);
  close(out[1]);
  pictures_ = in[1];
  messages_ = out[0];
}

VideoEncoder::~VideoEncoder() {
  end();
  if (messages_ >= 0) close(messages_);
  std::error_code ignored;
  std::filesystem::remove(unfinished_, ignored);
}

void VideoEncoder::end() {
  if (pictures_ < 0) return;
  close(pictures_);
  pictures_ = -1;
  waitpid(encoder_, &status_, 0);
  if (underWay_) underWay_.emplace(unfinished_);  // the encoder has ended
}

void VideoEncoder::fail() {
  end();
  if (WIFEXITED(status_) && WEXITSTATUS(status_) == kCannotStart) {
    throw SystemError("no film: install ffmpeg (Debian package ffmpeg)");
  }
  throw SystemError(
      fmt::format("cannot write {}: ffmpeg says: {}", file_.string(), firstLine(messages_)));
}

void VideoEncoder::add(const Raster& raster) {
  std::size_t sent = 0;
  while (sent < raster.rgb.size()) {
    const ssize_t count = write(pictures_, raster.rgb.data() + sent, raster.rgb.size() - sent);
    if (count > 0) {
      sent += static_cast<std::size_t>(count);
    } else if (errno != EINTR) {
      fail();
    }
  }
}

void VideoEncoder::finish() {
  end();
  if (!WIFEXITED(status_) || WEXITSTATUS(status_) != 0) fail();
  std::error_code error;
  std::filesystem::rename(unfinished_, file_, error);
  underWay_.reset();
  if (error) throw SystemError(fmt::format("cannot write {}: {}", file_.string(), error.message()));
}

}  // namespace holdground
