#include "scenarios/cli/view_program.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr const char* kProgram = "holdground-view";

bool isProgram(const std::filesystem::path& path) {
  return std::filesystem::is_regular_file(path) && access(path.c_str(), X_OK) == 0;
}

}  // namespace

std::optional<std::filesystem::path> findViewProgram(const std::filesystem::path& folder,
                                                     const std::string& searchPath) {
  if (!folder.empty() && isProgram(folder / kProgram)) return folder / kProgram;
  for (std::size_t start = 0; start <= searchPath.size();) {
    const std::size_t end = std::min(searchPath.find(':', start), searchPath.size());
    const std::filesystem::path candidate = searchPath.substr(start, end - start);
    if (!candidate.empty() && isProgram(candidate / kProgram)) return candidate / kProgram;
    start = end + 1;
  }
  return std::nullopt;
}

void becomeViewProgram(const std::vector<std::string>& arguments) {
  std::error_code ignored;
  const auto folder = std::filesystem::read_symlink("/proc/self/exe", ignored).parent_path();
  const char* searchPath = std::getenv("PATH");
  const auto program = findViewProgram(folder, searchPath ? searchPath : "");
  if (!program) {
    throw SystemError(
        "view: holdground-view is not installed (looked beside holdground and in PATH); it is "
        "built where VTK is, with -DHOLDGROUND_VIEW=ON");
  }
  std::vector<std::string> words = {program->string()};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> pointers;
  for (std::string& word : words) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  execv(program->c_str(), pointers.data());
  throw SystemError("view: " + program->string() + " cannot be started: " + std::strerror(errno));
}

}  // namespace holdground
