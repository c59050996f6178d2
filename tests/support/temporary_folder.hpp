#pragma once
// A folder of its own for one test, removed with everything in it when the test ends.

#include <filesystem>
#include <string>

namespace holdground {

class TemporaryFolder {
 public:
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

/// Writes a text file, making its folder first; returns its path.
std::filesystem::path writeText(const std::filesystem::path& file, const std::string& text);

/// The whole of a file; an empty text when it cannot be read.
std::string readText(const std::filesystem::path& file);

}  // namespace holdground
