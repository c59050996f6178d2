#pragma once
// Files that are whole or absent.
// Checked by: tests/unit/measure/whole_file_test.cpp

#include <filesystem>
#include <string>

namespace holdground {

/// Where a file is written before it gets its name: beside it.
std::filesystem::path besideOf(std::filesystem::path file);

/// Writes beside and renames. SystemError with one line that says why it cannot.
void writeWhole(const std::filesystem::path& file, const std::string& content);

}  // namespace holdground
