#pragma once
// Changes values in the text of a scenario file and leaves everything else as it stands: order,
// comments, spelling of what is not changed.
// Checked by: tests/unit/scenarios/rewrite_bed_test.cpp

#include <span>
#include <string>
#include <vector>

#include "scenarios/schema/source_text.hpp"

namespace holdground {

/// One key and what is to stand behind its equals sign.
struct KeyChange {
  std::string table;  ///< "" for the top of the file
  std::string key;
  std::string value;  ///< as TOML: 0.5, "20 kPa" with its quotes
};

/// @param notes  comment lines without "# ", put on top; those that an earlier call put there are
///   replaced. A key that is missing goes before the first of its table. InputError when there is
///   none to go before.
std::string rewritten(const SourceText& source, std::span<const KeyChange> changes,
                      std::span<const std::string> notes);

}  // namespace holdground
