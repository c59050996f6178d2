#pragma once
// Hands the viewing verb to holdground-view, the program that draws.
// Checked by tests/unit/scenarios/view_program_test.cpp.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace holdground {

/// holdground-view in `folder`, else in the first folder of `searchPath` (as in PATH) that has it.
std::optional<std::filesystem::path> findViewProgram(const std::filesystem::path& folder,
                                                     const std::string& searchPath);

/// Becomes holdground-view with these arguments; returns only by throwing SystemError.
[[noreturn]] void becomeViewProgram(const std::vector<std::string>& arguments);

}  // namespace holdground
