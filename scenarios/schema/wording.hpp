#pragma once
// Pieces of one-line messages: what was found, and the nearest known name for a typo.
// Checked by tests/unit/scenarios/wording_test.cpp.

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace holdground {

/// Text of a file or of a person made safe for one line: control bytes become '?', anything over
/// `longest` bytes is cut (never inside a UTF-8 character) and ends in "...".
std::string onOneLine(std::string_view text, std::size_t longest = 60);

/// onOneLine in double quotes.
std::string inQuotes(std::string_view text);

/// Edits (insert, delete, replace, swap of neighbours) that turn `a` into `b`.
/// Source: Damerau 1964; optimal string alignment.
std::size_t editDistance(std::string_view a, std::string_view b);

/// The name fewest edits away, when that is near enough to be a typo: at most a third of its
/// length, at least one edit allowed.
std::optional<std::string> nearestName(std::string_view written,
                                       std::span<const std::string> known);

/// "a, b, c"
std::string joined(std::span<const std::string> words);

}  // namespace holdground
