#pragma once
// Keeps two pulls from writing into one folder. The lock is the system's: it leaves no file behind
// and goes with the process. A file system that cannot lock folders keeps nobody out, and isHeld
// says so. Checked by: tests/unit/scenarios/folder_lock_test.cpp

#include <filesystem>

namespace holdground {

class FolderLock {
 public:
  /// Of a folder that is there. InputError when another process holds it.
  explicit FolderLock(const std::filesystem::path& folder);
  ~FolderLock();
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;
  bool isHeld() const { return held_; }

 private:
  int descriptor_;  ///< of the folder; -1 when it cannot be opened
  bool held_ = false;
};

}  // namespace holdground
