#pragma once
// Whether this machine has the memory and the disk a pull needs, asked before anything is worked
// out.
// Checked by: tests/unit/scenarios/room_test.cpp

#include <filesystem>

#include "scenarios/run/forecast.hpp"

namespace holdground {

/// What is left [bytes]; infinite where the system does not say.
struct Room {
  double memory = 0.0;
  double disk = 0.0;
};

/// Memory: the least of what the machine, the control group and the limit of address space leave.
/// Disk: of the file system `folder` is on, or its nearest parent that exists.
Room roomFor(const std::filesystem::path& folder);

/// SystemError when the forecast needs more than there is.
void checkRoom(const Forecast& forecast, const Room& room);

}  // namespace holdground
