#pragma once
// A file that a key of a scenario file names. Checked by tests/unit/scenarios/probe_file_test.cpp.

#include <filesystem>
#include <string>

#include "scenarios/schema/toml_reader.hpp"

namespace holdground {

/// The file a key names, against the folder of the file it stands in. InputError when it is not
/// there. @param allowed  "a TOML file"
std::filesystem::path namedFile(const Reading& reading, const std::filesystem::path& folder,
                                const std::string& key, const std::string& written,
                                const std::string& allowed);

}  // namespace holdground
