#pragma once
// Published ranges of what a bed card measures, for kinds of bed, and the verdict on a figure.
//
// Sources: NAVFAC DM-7.02 1986; Lambe & Whitman 1969, Soil Mechanics; Bolton 1986 (angles of quartz
//   sand); US Navy categories of harbour mud; Leps 1970 (rockfill at low stress). All figures are
//   from memory but those of harbour mud, and ranges of practice rather than of one test.
// Checked by: tests/unit/scenarios/published_ranges_test.cpp

#include <optional>
#include <string>
#include <vector>

namespace holdground {

struct PublishedRange {
  double low, high;
  std::string source;  ///< author and year, and how we know it
};

/// Kinds of bed that have ranges, as a bed file's `kind` names them.
std::vector<std::string> kindsWithRanges();

/// Range of a figure of the card, by its key in the card; nothing when none is known.
std::optional<PublishedRange> publishedRange(const std::string& kind, const std::string& figure);

/// "inside", "below" or "above".
std::string verdictOn(double figure, const PublishedRange& range);

}  // namespace holdground
