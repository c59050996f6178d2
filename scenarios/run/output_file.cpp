#include "scenarios/run/output_file.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "solver/core/errors.hpp"

namespace holdground {

void checkOutputFile(const std::filesystem::path& file, const std::filesystem::path& input) {
  std::error_code ignored;
  if (std::filesystem::equivalent(file, input, ignored))
    throw InputError(fmt::format("--output: found {}, the file that is read, allowed is another",
                                 file.string()));
  if (!file.has_filename() || std::filesystem::is_directory(file, ignored))
    throw InputError(fmt::format("--output: found {}, a folder, allowed is a file", file.string()));
  const std::filesystem::path folder = std::filesystem::absolute(file).parent_path();
  if (!std::filesystem::is_directory(folder, ignored))
    throw InputError(fmt::format("--output: found {}, allowed is a file in a folder that is there",
                                 file.string()));
  if (access(folder.c_str(), W_OK | X_OK) != 0)
    throw SystemError(
        fmt::format("{}: cannot be written: {}", file.string(), std::strerror(errno)));
}

void writeTextFile(const std::filesystem::path& file, const std::string& text) {
  const std::filesystem::path beside = file.string() + fmt::format(".{}", getpid());
  std::ofstream out(beside);
  out << text;
  out.close();
  std::error_code failed;
  if (out) std::filesystem::rename(beside, file, failed);
  if (out && !failed) return;
  std::error_code ignored;
  std::filesystem::remove(beside, ignored);
  throw SystemError(fmt::format("{}: cannot be written", file.string()));
}

}  // namespace holdground
