#include "tests/support/process.hpp"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstring>
#include <sstream>
#include <stdexcept>
#include <thread>
#include <utility>

namespace holdground {
namespace {

std::vector<std::string> environmentWith(const std::map<std::string, std::string>& added) {
  std::vector<std::string> entries;
  for (char** entry = environ; *entry != nullptr; ++entry) {
    const std::string text = *entry;
    if (!added.contains(text.substr(0, text.find('=')))) {
      entries.push_back(text);
    }
  }
  for (const auto& [name, value] : added) {
    entries.push_back(name + "=" + value);
  }
  return entries;
}

std::vector<char*> pointersTo(std::vector<std::string>& texts) {
  std::vector<char*> pointers;
  for (std::string& text : texts) {
    pointers.push_back(text.data());
  }
  pointers.push_back(nullptr);
  return pointers;
}

}  // namespace

std::string ProcessResult::describe() const {
  std::ostringstream text;
  text << "exit status " << exitStatus << ", signal " << signal
       << (timedOut ? ", killed at its time limit" : "") << ", " << wallSeconds << " s\n"
       << "--- standard output\n"
       << output << "--- standard error\n"
       << messages;
  return text.str();
}

Process::Process(std::vector<std::string> arguments, ProcessOptions options)
    : options_(std::move(options)), start_(Clock::now()) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  const int create = O_WRONLY | O_CREAT | O_TRUNC;
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, (folder_ / "out").c_str(), create,
                                   0600);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, (folder_ / "err").c_str(), create,
                                   0600);
  if (!options_.directory.empty()) {
    posix_spawn_file_actions_addchdir_np(&actions, options_.directory.c_str());
  }
  // A process group of its own, so that killing it also kills what it started.
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  posix_spawnattr_setpgroup(&attributes, 0);

  std::vector<std::string> environment = environmentWith(options_.environment);
  const int error = posix_spawnp(&pid_, arguments.at(0).c_str(), &actions, &attributes,
                                 pointersTo(arguments).data(), pointersTo(environment).data());
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  if (error != 0) {
    throw std::runtime_error("cannot start " + arguments[0] + ": " + std::strerror(error));
  }
}

Process::~Process() {
  if (running()) {
    sendSignal(SIGKILL);
    waitpid(pid_, &waitStatus_, 0);
  }
}

bool Process::running() {
  if (!ended_ && waitpid(pid_, &waitStatus_, WNOHANG) == pid_) {
    ended_ = true;
    end_ = Clock::now();
  }
  return !ended_;
}

void Process::sendSignal(int signal) const {
  if (!ended_) {
    kill(-pid_, signal);
  }
}

ProcessResult Process::wait() {
  while (running()) {
    if (!timedOut_ && Clock::now() - start_ > options_.limit) {
      timedOut_ = true;
      sendSignal(SIGKILL);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  ProcessResult result;
  result.exitStatus = WIFEXITED(waitStatus_) ? WEXITSTATUS(waitStatus_) : -1;
  result.signal = WIFSIGNALED(waitStatus_) ? WTERMSIG(waitStatus_) : 0;
  result.timedOut = timedOut_;
  result.wallSeconds = std::chrono::duration<double>(end_ - start_).count();
  result.output = outputSoFar();
  result.messages = messagesSoFar();
  return result;
}

ProcessResult runProcess(std::vector<std::string> arguments, ProcessOptions options) {
  return Process(std::move(arguments), std::move(options)).wait();
}

std::string builtProgram(const std::string& name) {
  return (std::filesystem::path(HOLDGROUND_BINARY_DIR) / name).string();
}

}  // namespace holdground
