#pragma once
// A scenario file as it was read, and where each of its keys stands: what messages need.
// Checked by tests/unit/scenarios/toml_reader_test.cpp.

#include <map>
#include <string>

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

  Reading() = default;
  explicit Reading(SourceText source) : source_(std::move(source)) {}

  const SourceText& source() const { return source_; }
  bool has(const std::string& path) const { return places_.count(path) > 0; }
  void mark(const std::string& path, Place place) { places_[path] = place; }

  /// "FILE:LINE:COLUMN: PATH: text", at the key or, when absent, at the table it belongs in.
  InputError fault(const std::string& path, const std::string& text) const;

  /// The same of an error whose text begins with the path of a key: "PATH: text".
  InputError faultOf(const InputError& error) const;

  /// Throws the fault "missing" when the file does not have this key.
  void demand(const std::string& path, const std::string& allowed) const;

 private:
  SourceText source_;
  std::map<std::string, Place> places_;
};

}  // namespace holdground
