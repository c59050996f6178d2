#pragma once
// The parts of a record that are made before the first sample: groups, texts, meshes, reference
// grains and the empty datasets that will grow.

#include <filesystem>
#include <string>
#include <vector>

#include "solver/record/format_run.hpp"
#include "solver/record/growing_dataset.hpp"

namespace holdground {

/// The growing datasets of an open record, in the order they were made.
struct GrowingSet {
  std::vector<hdf5::GrowingDataset> scalars, vectors, counts;  ///< as in the column tables
  std::vector<hdf5::GrowingDataset> orientation;               ///< one
  std::vector<hdf5::GrowingDataset> partForce;                 ///< one, or none without parts
  std::vector<hdf5::GrowingDataset> frames;                    ///< as in FrameColumn
  std::vector<hdf5::GrowingDataset> closing;                   ///< as in ClosingColumn
};

enum FrameColumn {
  kFrameTime,
  kFramePosition,
  kFrameOrientation,
  kFrameBoatEnd,
  kFrameUnit,
  kFrameDisplacement,  ///< only with grains, like the next
  kFrameSpeed
};

enum ClosingColumn {
  kEndReason,
  kStateHash,
  kSteps,
  kSimulatedTime,
  kWallTime,
  kStageName,
  kStageSeconds,
  kStageCalls,
  kLog
};

/// Bytes of the fixed-length texts of the closing.
inline constexpr std::size_t kReasonBytes = 512, kStageNameBytes = 64, kLogLineBytes = 160;

/// Writes a new file at `path` with everything but the samples. SystemError.
void writeSkeleton(const std::filesystem::path& path, const RunDescription& description);

/// Writes a new file at `path` that has the description of `source`, its first `seriesRows` samples
/// and `frames` frames, and no closing. InputError when it has fewer.
void copyUpTo(const std::filesystem::path& path, hid_t source, std::size_t seriesRows,
              std::size_t frames);

/// Opens every growing dataset of a record.
GrowingSet openGrowing(hid_t file);

}  // namespace holdground
