#include "scenarios/run/folder_lock.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>

#include "solver/core/errors.hpp"

namespace holdground {

FolderLock::FolderLock(const std::filesystem::path& folder)
    : descriptor_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
  if (descriptor_ < 0) return;
  held_ = ::flock(descriptor_, LOCK_EX | LOCK_NB) == 0;
  if (held_ || errno != EWOULDBLOCK) return;
  ::close(descriptor_);
  throw InputError(fmt::format(
      "{}: another pull is writing there; allowed: another folder, or wait until it has ended",
      folder.string()));
}

FolderLock::~FolderLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace holdground
