#include "solver/record/durable_file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string_view>

#include "solver/core/errors.hpp"

namespace holdground {

std::filesystem::path temporaryFor(std::filesystem::path path) { return path += ".new"; }

void removeQuietly(const std::filesystem::path& path) {
  std::error_code ignored;
  std::filesystem::remove(path, ignored);
}

void moveIntoPlace(const std::filesystem::path& from, const std::filesystem::path& to) {
  const int fd = ::open(from.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd >= 0) {
    ::fsync(fd);
    ::close(fd);
  }
  std::error_code error;
  std::filesystem::rename(from, to, error);
  if (error) throw SystemError("cannot create record '" + to.string() + "': " + error.message());
}

std::string obstacleToLiveReading(const std::filesystem::path& path) {
  const char* setting = std::getenv("HDF5_USE_FILE_LOCKING");
  if (setting != nullptr &&
      (std::string_view(setting) == "FALSE" || std::string_view(setting) == "0"))
    return "HDF5_USE_FILE_LOCKING switches file locking off";
  const int fd = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
  if (fd < 0) return "";  // whoever opens it next reports why
  std::string why;
  if (::flock(fd, LOCK_SH | LOCK_NB) != 0 && errno != EWOULDBLOCK)
    why = std::string("the file system cannot lock files (") + std::strerror(errno) + ")";
  else if (::fsync(fd) != 0 && (errno == EINVAL || errno == ENOTSUP || errno == EROFS))
    why = std::string("the file system cannot flush files (") + std::strerror(errno) + ")";
  ::close(fd);
  return why;
}

void syncToDisk(const std::filesystem::path& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0)
    throw SystemError("cannot open record '" + path.string() + "': " + std::strerror(errno));
  const bool failed = ::fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP && errno != EROFS;
  const std::string reason = failed ? std::strerror(errno) : "";
  ::close(fd);
  if (failed) throw SystemError("cannot write record '" + path.string() + "': " + reason);
}

}  // namespace holdground
