#include "postprocess/measure/whole_file.hpp"

#include <cerrno>
#include <cstring>
#include <fstream>

#include "solver/core/errors.hpp"

namespace holdground {

std::filesystem::path besideOf(std::filesystem::path file) { return file += ".new"; }

void writeWhole(const std::filesystem::path& file, const std::string& content) {
  const std::filesystem::path beside = besideOf(file);
  errno = 0;
  std::ofstream out(beside, std::ios::binary | std::ios::trunc);
  out << content;
  out.close();
  std::string reason;
  if (!out) reason = errno != 0 ? std::strerror(errno) : "the disk may be full";
  std::error_code error;
  if (reason.empty()) {
    std::filesystem::rename(beside, file, error);
    if (error) reason = error.message();
  }
  if (reason.empty()) return;
  std::filesystem::remove(beside, error);
  throw SystemError("cannot write '" + file.string() + "': " + reason);
}

}  // namespace holdground
