#pragma once
// Drives one pull from its start, or its checkpoint, to its end, and keeps its record.
//
// Folder: record.h5 and checkpoint.bin while it runs. Checkpoints are taken by simulated time, so a
// run that was stopped and resumed passes through the same states as one that was not.
// Checked by: tests/endtoend/

#include <filesystem>
#include <optional>
#include <string>

#include "scenarios/cli/last_resort.hpp"
#include "scenarios/run/build_simulation.hpp"
#include "scenarios/run/folder_lock.hpp"
#include "scenarios/run/observe.hpp"
#include "scenarios/run/run.hpp"
#include "solver/record/checkpoint.hpp"
#include "solver/record/record_writer.hpp"

namespace holdground {

enum class EndReason { kDone, kRunaway, kMaximumDrift, kInterrupted, kLost };

class PullSession {
 public:
  PullSession(const TrialSpec& trial, const PullOptions& options);

  /// Runs until the pull is over or a signal asks to stop (a checkpoint is then left behind).
  /// When a grain is lost or the anchor flies off, the record is closed with what there is by then.
  EndReason run();

  std::filesystem::path recordPath() const { return options_.output / "record.h5"; }
  std::filesystem::path checkpointPath() const { return options_.output / "checkpoint.bin"; }
  const Simulation& simulation() const { return *simulation_; }

 private:
  /// Before anything is worked out: may the run go there?
  void prepareFolder();
  void refuseRecord() const;
  /// Makes the folder of a new run, for this one alone.
  void claimFolder();
  /// InputError when it belongs to another run.
  Checkpoint readCheckpoint() const;
  void goOnFrom(const Checkpoint& checkpoint);
  /// False when the step could not be made, for the reason then in lost_.
  bool advance();
  /// Keeps since when the anchor runs.
  void watchRun();
  void sampleWhenDue();
  void sampleSeries();
  void sampleFrameNow();
  void checkpointWhenDue();
  void writeCheckpoint();
  std::optional<EndReason> ended() const;
  void close(EndReason reason);
  std::uint64_t stepsPer(double interval) const;

  const TrialSpec& trial_;
  PullOptions options_;
  TileRecipe recipe_;
  std::uint64_t scenario_ = 0;  ///< hash of the files that decide the run
  Tile tile_;
  Copies copies_;
  std::optional<FolderLock> lock_;  ///< of the folder, as soon as it is there
  std::optional<Simulation> simulation_;
  std::optional<HalfWritten> halfWritten_;  ///< a new record, until a checkpoint can go on from it
  std::optional<RecordWriter> record_;
  std::vector<std::uint32_t> framed_;  ///< ids of the grains frames keep; empty: all
  BedSurroundings surroundings_;
  OverlapStatistics overlap_;
  PairsThroughSteel throughSteel_;
  std::optional<double> runningSince_;  ///< when the anchor began to run [s]; empty: it does not
  std::uint64_t firstStep_ = 0;
  std::string lost_;         ///< what flew apart, and where; empty: nothing
  double wallBefore_ = 0.0;  ///< of earlier sessions of this run [s]
  double wallTime_ = 0.0;    ///< of this session [s]
};

}  // namespace holdground
