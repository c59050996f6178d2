#include "scenarios/run/room.hpp"

#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <limits>
#include <string>

#include "solver/core/errors.hpp"

namespace holdground {

namespace {

constexpr double kUnknown = std::numeric_limits<double>::infinity();

double machineMemory() {
  std::ifstream file("/proc/meminfo");
  std::string name, unit;
  double kibibytes = 0.0;
  while (file >> name >> kibibytes) {
    std::getline(file, unit);
    if (name == "MemAvailable:") return 1024.0 * kibibytes;
  }
  return kUnknown;
}

double groupMemory() {
  std::ifstream limit("/sys/fs/cgroup/memory.max"), used("/sys/fs/cgroup/memory.current");
  double most = 0.0, now = 0.0;  // "max" is no number
  return limit >> most && used >> now ? most - now : kUnknown;
}

double addressSpace() {
  rlimit limit{};
  if (getrlimit(RLIMIT_AS, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY) return kUnknown;
  std::ifstream file("/proc/self/statm");
  double pages = 0.0;
  if (!(file >> pages)) return kUnknown;
  const double used = pages * static_cast<double>(sysconf(_SC_PAGESIZE));
  return static_cast<double>(limit.rlim_cur) - used;
}

double freeDisk(const std::filesystem::path& folder) {
  std::error_code ignored;
  std::filesystem::path there = std::filesystem::absolute(folder, ignored).lexically_normal();
  while (!std::filesystem::exists(there, ignored) && there.has_relative_path())
    there = there.parent_path();
  struct statvfs space {};
  // A file system without blocks, such as /proc, has no room to ask for: writing will tell.
  if (statvfs(there.c_str(), &space) != 0 || space.f_blocks == 0) return kUnknown;
  return static_cast<double>(space.f_bavail) * static_cast<double>(space.f_frsize);
}

void require(const char* what, double needed, double free, const char* remedy) {
  if (needed <= free) return;
  throw SystemError(fmt::format("not enough {}: about {:.0f} MB are needed, {:.0f} MB are free; {}",
                                what, needed / 1e6, std::max(0.0, free) / 1e6, remedy));
}

}  // namespace

Room roomFor(const std::filesystem::path& folder) {
  return {std::min({machineMemory(), groupMemory(), addressSpace()}), freeDisk(folder)};
}

void checkRoom(const Forecast& forecast, const Room& room) {
  require("memory", forecast.memory, room.memory,
          "fewer tiles, a smaller tile or coarser grains need less");
  require("disk", forecast.disk, room.disk, "fewer frames or fewer grains need less");
}

}  // namespace holdground
