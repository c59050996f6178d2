#include "postprocess/view/under_way.hpp"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstring>
#include <string>

namespace holdground {
namespace {

// Plain, as a handler may neither allocate nor lock. Empty: nothing to remove.
std::array<char, 4096> fileUnderWay{};
volatile pid_t encoderUnderWay = 0;

void stop(int signal) {
  const pid_t encoder = encoderUnderWay;
  if (encoder > 0) {
    kill(encoder, SIGKILL);
    waitpid(encoder, nullptr, 0);
  }
  if (fileUnderWay[0] != '\0') unlink(fileUnderWay.data());
  // A line of progress may stand open on a terminal.
  constexpr char kText[] =
      "holdground-view: error: stopped by a signal; what was not whole is gone\n";
  for (const char* piece : {isatty(STDERR_FILENO) ? "\r\x1b[K" : "", kText}) {
    const ssize_t written = write(STDERR_FILENO, piece, std::strlen(piece));
    if (written < 0) break;
  }
  ::signal(signal, SIG_DFL);
  raise(signal);
}

}  // namespace

void leaveNothingWhenStopped() {
  struct sigaction action {};
  action.sa_handler = stop;
  sigemptyset(&action.sa_mask);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&action.sa_mask, signal);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    struct sigaction former {};
    sigaction(signal, nullptr, &former);
    if (former.sa_handler != SIG_IGN) sigaction(signal, &action, nullptr);
  }
}

UnderWay::UnderWay(const std::filesystem::path& file, pid_t encoder) {
  const std::string path = file.string();
  if (path.size() < fileUnderWay.size())
    std::memcpy(fileUnderWay.data(), path.c_str(), path.size() + 1);
  encoderUnderWay = encoder;
}

UnderWay::~UnderWay() {
  encoderUnderWay = 0;
  fileUnderWay[0] = '\0';
}

}  // namespace holdground
