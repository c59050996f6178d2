#pragma once
// Writes a run's record so that it can be read while it grows and after the writer was killed.
//
// Groups, attributes and empty datasets are made first, under a temporary name, then the file gets
// its name and is opened for appending with readers allowed (HDF5's single writer, many readers).
// Where that cannot be had, the file is opened, appended to and closed for each batch, and
// warning() says so. Every error is a SystemError with one line.
// Checked by: tests/unit/record/, tests/robustness/record_killed_test.cpp,
// tests/robustness/record_torn_write_test.cpp

#include <cstddef>
#include <filesystem>
#include <memory>
#include <string>

#include "solver/record/format_frame.hpp"
#include "solver/record/format_run.hpp"
#include "solver/record/format_series.hpp"
#include "solver/state/energy_ledger.hpp"

namespace holdground {

/// How far a record has come. Goes into the checkpoint, so that a resumed run continues exactly
/// there.
struct RecordPosition {
  std::size_t seriesRows = 0;
  std::size_t frames = 0;
};

/// Whether others may read while the record is written.
enum class LiveReading { kWherePossible, kOff };

class RecordWriter {
 public:
  /// Starts a new record at `path`, replacing what is there.
  RecordWriter(const std::filesystem::path& path, const RunDescription& description,
               LiveReading live = LiveReading::kWherePossible);
  /// Continues a record after a stop or a kill: rows and frames past `position` are discarded, and
  /// so is the closing. InputError when it is not a record or ends before `position`.
  static RecordWriter resume(const std::filesystem::path& path, const RecordPosition& position,
                             LiveReading live = LiveReading::kWherePossible);
  ~RecordWriter();
  RecordWriter(RecordWriter&&) noexcept;
  RecordWriter& operator=(RecordWriter&&) noexcept;

  /// Adds one sample. Written to the file with the next batch.
  void appendSeries(const SeriesRow& row);
  /// Adds one frame, and writes all samples so far with it. As many grains as the reference has.
  void appendFrame(const FrameData& frame);
  /// Writes all that was appended and waits until the disk has it. Call before a checkpoint.
  void flush();
  /// Writes the closing and ends the record. Nothing may be appended afterwards.
  void close(const RunClosing& closing);

  RecordPosition position() const;
  /// Empty, or one line on why the record cannot be read safely while it is written.
  const std::string& warning() const;

 private:
  struct Impl;
  explicit RecordWriter(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

/// Copies every term of the ledger into the row.
void setEnergy(SeriesRow& row, const EnergyLedger& energy);

}  // namespace holdground
