#pragma once
// Invented runs for tests of the record: every value is a simple function of its index, so a test
// knows what it must read back.

#include <cstddef>
#include <string>

#include "solver/record/format_frame.hpp"
#include "solver/record/format_run.hpp"
#include "solver/record/format_series.hpp"

namespace holdground::samples {

/// Two parts, `grains` grains in a 2 m x 1 m domain.
RunDescription description(std::size_t grains);
/// Sample `index`: every column has a value of its own; time is index / 100.
SeriesRow row(std::size_t index);
/// Frame `index`: every grain moved by a few millimetres more; time is index / 10.
FrameData frame(const RunDescription& run, std::size_t index);
RunClosing closing();

/// Empty when the two are the same in every bit, else the name of the first column that differs.
std::string difference(const SeriesRow& a, const SeriesRow& b);

}  // namespace holdground::samples
