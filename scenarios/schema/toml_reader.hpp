#pragma once
// Fills the fields a schema is bound to from a TOML file, and says where each value stands.
// Checked by tests/unit/scenarios/toml_reader_test.cpp and
// tests/robustness/scenario_files_test.cpp.

#include <filesystem>

#include "scenarios/schema/reading.hpp"
#include "scenarios/schema/schema.hpp"

namespace holdground {

/// Reads a whole file. Throws InputError when it is missing, not a plain file or beyond 1 MiB.
SourceText readSource(const std::filesystem::path& path);

/// Parses `source` and fills the fields `schema` is bound to. Throws InputError (one line with
/// file, line, column, key, what was found, what is allowed) for the first fault.
Reading fillFromToml(const SourceText& source, const TableSchema& schema);

}  // namespace holdground
