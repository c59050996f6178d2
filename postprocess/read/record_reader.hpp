#pragma once
// Reads a run's record: finished, still being written, or left behind by a killed writer.
//
// Positions in frames are unpacked: to half a unit of the frame (format_frame.hpp) and wrapped into
// the periodic domain. Everything is in SI units and the frames of solver/record/format*.hpp.
// Checked by: tests/unit/record/record_round_trip_test.cpp, tests/robustness/record_killed_test.cpp

#include <cstddef>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "solver/record/format_frame.hpp"
#include "solver/record/format_run.hpp"
#include "solver/record/format_series.hpp"

namespace holdground {

class RecordReader {
 public:
  /// Opens a record and reads its description. InputError when there is no such file, when it is
  /// not a record, is of a newer version, or is damaged; one line that says which.
  explicit RecordReader(const std::filesystem::path& path);
  ~RecordReader();
  RecordReader(RecordReader&&) noexcept;
  RecordReader& operator=(RecordReader&&) noexcept;

  /// With anchor meshes, reference grains, scenario texts.
  const RunDescription& description() const;

  /// All samples written so far, oldest first. InputError when damaged.
  std::vector<SeriesRow> readSeries() const;

  /// Number of whole frames written so far.
  std::size_t frameCount() const;
  /// Times of all frames [s].
  std::vector<double> frameTimes() const;
  /// One frame. InputError when `index` is not below frameCount() or the file is damaged.
  FrameData readFrame(std::size_t index) const;

  /// What the run said when it ended; empty while it runs, or when it was killed.
  std::optional<RunClosing> closing() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace holdground
