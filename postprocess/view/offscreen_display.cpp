#include "postprocess/view/offscreen_display.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cctype>
#include <cstdlib>
#include <string>

#include "solver/core/errors.hpp"

// Last, because Xlib defines words like None and Bool.
#include <X11/Xlib.h>

namespace holdground {
namespace {

constexpr int kPatienceMilliseconds = 15000;
constexpr int kCannotStart = 127;

bool desktopAnswers() {
  if (std::getenv("DISPLAY") == nullptr) return false;
  Display* display = XOpenDisplay(nullptr);
  if (display == nullptr) return false;
  XCloseDisplay(display);
  return true;
}

// Runs in the child: becomes the server, which writes its number into `numberPipe`.
[[noreturn]] void becomeServer(int numberPipe) {
  prctl(PR_SET_PDEATHSIG, SIGTERM);  // ends with us even when we are killed
  const int nowhere = open("/dev/null", O_RDWR);
  dup2(nowhere, STDIN_FILENO);
  dup2(nowhere, STDOUT_FILENO);
  dup2(nowhere, STDERR_FILENO);
  const std::string number = std::to_string(numberPipe);
  execlp("Xvfb", "Xvfb", "-displayfd", number.c_str(), "-screen", "0", "64x64x24", "-nolisten",
         "tcp", static_cast<char*>(nullptr));
  _exit(kCannotStart);
}

// The display's number as the server writes it, or "" when it ends or stays silent.
std::string numberFrom(int pipe) {
  std::string text;
  pollfd waiting{pipe, POLLIN, 0};
  while (poll(&waiting, 1, kPatienceMilliseconds) > 0) {
    char c = 0;
    if (read(pipe, &c, 1) != 1) return "";
    if (c == '\n') return text;
    if (std::isdigit(static_cast<unsigned char>(c)) != 0) text += c;
  }
  return "";
}

}  // namespace

OffscreenDisplay::OffscreenDisplay() {
  int ends[2];
  if (pipe2(ends, O_CLOEXEC) != 0) throw SystemError("cannot open a pipe to a display");
  server_ = fork();
  if (server_ < 0) throw SystemError("cannot start a process for an off-screen display");
  if (server_ == 0) {
    fcntl(ends[1], F_SETFD, 0);
    becomeServer(ends[1]);
  }
  close(ends[1]);
  const std::string number = numberFrom(ends[0]);
  close(ends[0]);
  if (!number.empty()) {
    setenv("DISPLAY", (":" + number).c_str(), 1);
    return;
  }
  kill(server_, SIGTERM);
  int status = 0;
  waitpid(server_, &status, 0);
  server_ = 0;
  if (desktopAnswers()) return;
  const bool missing = WIFEXITED(status) && WEXITSTATUS(status) == kCannotStart;
  throw SystemError(missing ? "no display to draw on: install Xvfb (Debian package xvfb)"
                            : "no display to draw on: Xvfb is installed but did not come up");
}

OffscreenDisplay::~OffscreenDisplay() {
  if (server_ == 0) return;
  kill(server_, SIGTERM);
  waitpid(server_, nullptr, 0);
}

}  // namespace holdground
