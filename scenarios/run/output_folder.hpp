#pragma once
// The folder that --output names. Checked by: tests/unit/scenarios/output_folder_test.cpp

#include <filesystem>

namespace holdground {

/// Whether a folder can be made, or written to, before anything is worked out. Makes nothing.
/// InputError for a name that cannot be a folder, SystemError where it may not be written.
void checkPlace(const std::filesystem::path& folder);

/// With all above it. SystemError.
void makeFolder(const std::filesystem::path& folder);

}  // namespace holdground
