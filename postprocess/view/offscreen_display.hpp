#pragma once
// A display nobody sees: starts an X server in memory for as long as the object lives, since
// Debian's VTK can draw only into X windows and ends the program when there is none.

#include <sys/types.h>

namespace holdground {

class OffscreenDisplay {
 public:
  /// Starts Xvfb and points DISPLAY at it. Without Xvfb the display of the person's own desktop is
  /// used. SystemError when there is neither, or the server does not come up.
  OffscreenDisplay();
  /// Ends the server it started, and no other.
  ~OffscreenDisplay();
  OffscreenDisplay(const OffscreenDisplay&) = delete;
  OffscreenDisplay& operator=(const OffscreenDisplay&) = delete;

 private:
  pid_t server_ = 0;  ///< 0: none of ours
};

}  // namespace holdground
