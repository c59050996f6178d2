#pragma once
// Files that are whole or absent, and that survive the loss of the process or of power.
// Checked by: tests/unit/record/durable_file_test.cpp

#include <filesystem>
#include <string>

namespace holdground {

/// Where a file is made before it gets its name: beside it, with ".new" added.
std::filesystem::path temporaryFor(std::filesystem::path path);

/// Removes a file if it is there; never fails.
void removeQuietly(const std::filesystem::path& path);

/// Gives a finished file its name, after the disk has it. SystemError.
void moveIntoPlace(const std::filesystem::path& from, const std::filesystem::path& to);

/// Why others could not safely read a file while it is written: no locking, no flushing. Empty when
/// they can.
std::string obstacleToLiveReading(const std::filesystem::path& path);

/// Waits until the disk has what was written. SystemError.
void syncToDisk(const std::filesystem::path& path);

}  // namespace holdground
