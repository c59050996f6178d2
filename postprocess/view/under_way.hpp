#pragma once
// What a signal that ends the program must not leave behind: the file under way, and the encoder
// that writes it. Displays and VTK cannot be unwound then, so it is done at once.
// Checked by tests/endtoend/view_test.cpp

#include <sys/types.h>

#include <filesystem>

namespace holdground {

/// SIGINT, SIGTERM and SIGHUP, unless ignored, remove what is under way, say so in one line and end
/// the program as signals do.
void leaveNothingWhenStopped();

/// While it lives, this is under way. One at a time.
class UnderWay {
 public:
  /// @param encoder  process to end before the file is removed; 0: none
  explicit UnderWay(const std::filesystem::path& file, pid_t encoder = 0);
  ~UnderWay();
  UnderWay(const UnderWay&) = delete;
  UnderWay& operator=(const UnderWay&) = delete;
};

}  // namespace holdground
