#pragma once
// Fills the fields a schema is bound to from a TOML file, and says where each value stands.
// Checked by tests/unit/scenarios/toml_reader_test.cpp and
// tests/robustness/scenario_files_test.cpp.

#include <filesystem>
#include <map>
#include <string>

#include "scenarios/schema/schema.hpp"
#include "scenarios/schema/source_text.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

/// What was found where. Paths of keys are dotted ("pull.speed"); entries of arrays count from 1
/// ("part[2].mesh"); "" is the whole file.
class Reading {
 public:
  struct Place {
    unsigned line = 1, column = 1;
  };

  explicit Reading(SourceText source) : source_(std::move(source)) {}

  const SourceText& source() const { return source_; }
  bool has(const std::string& path) const { return places_.count(path) > 0; }
  void mark(const std::string& path, Place place) { places_[path] = place; }

  /// "FILE:LINE:COLUMN: PATH: text", at the key or, when absent, at the table it belongs in.
  InputError fault(const std::string& path, const std::string& text) const;

  /// Throws the fault "missing" when the file does not have this key.
  void demand(const std::string& path, const std::string& allowed) const;

 private:
  SourceText source_;
  std::map<std::string, Place> places_;
};

/// Reads a whole file. Throws InputError when it is missing, not a plain file or beyond 1 MiB.
SourceText readSource(const std::filesystem::path& path);

/// Parses `source` and fills the fields `schema` is bound to. Throws InputError (one line with
/// file, line, column, key, what was found, what is allowed) for the first fault.
Reading fillFromToml(const SourceText& source, const TableSchema& schema);

}  // namespace holdground
