#include "scenarios/run/output_folder.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

#include "solver/core/errors.hpp"

namespace holdground {

void checkPlace(const std::filesystem::path& folder) {
  if (folder.empty()) throw InputError("--output: found no name, allowed is that of a folder");
  std::filesystem::path there = std::filesystem::absolute(folder).lexically_normal();
  std::error_code ignored;
  while (!std::filesystem::exists(there, ignored) && there.has_relative_path())
    there = there.parent_path();
  if (!std::filesystem::is_directory(there, ignored))
    throw InputError(fmt::format("--output: found {}, where {} is a file, allowed is a folder",
                                 folder.string(), there.filename().string()));
  if (access(there.c_str(), W_OK | X_OK) != 0)
    throw SystemError(fmt::format("{}: cannot be written in {}: {}", folder.string(),
                                  there.string(), std::strerror(errno)));
}

void makeFolder(const std::filesystem::path& folder) {
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (failed) throw SystemError(fmt::format("{}: {}", folder.string(), failed.message()));
}

}  // namespace holdground
