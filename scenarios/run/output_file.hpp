#pragma once
// A file that a verb is to write.
// Checked by: tests/endtoend/bed_test.cpp

#include <filesystem>
#include <string>

namespace holdground {

/// Whether this can be a file, before anything is done for it. Makes nothing. InputError also when
/// it is the file that is read, under whatever name.
void checkOutputFile(const std::filesystem::path& file, const std::filesystem::path& input);

/// Writes beside and renames, so that the file is whole or as before. SystemError on one line.
void writeTextFile(const std::filesystem::path& file, const std::string& text);

}  // namespace holdground
