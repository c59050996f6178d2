#pragma once
// How a program ends that can no longer unwind: no memory is left, or an exception left a thread.
//
// An exception cannot leave an OpenMP region, and libraries that are short of memory may hang while
// they close. So both end the process at once: one line, nothing half-written, no destructors.
// Checked by: tests/robustness/out_of_memory_test.cpp, tests/unit/scenarios/last_resort_test.cpp

#include <filesystem>

namespace holdground {

/// From now on a failed allocation ends the program with status 3, and an exception nobody caught
/// with that of its kind.
void endAtOnceWhenNothingElseHelps();

/// A file that is of use to nobody before keep(): until then it is removed when this object goes or
/// the program ends as above, and so is its folder when that was made for it. One at a time.
class HalfWritten {
 public:
  /// Before anything is made: whether the folder is there decides whether it is removed.
  explicit HalfWritten(const std::filesystem::path& file);
  ~HalfWritten();
  HalfWritten(const HalfWritten&) = delete;
  HalfWritten& operator=(const HalfWritten&) = delete;

  void keep();
};

}  // namespace holdground
