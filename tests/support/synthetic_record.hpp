#pragma once
// A small record of a pull that never happened: a lattice of grains, an anchor of two plates that
// sinks and travels along x, grains near it moving. For tests of what reads records.

#include <filesystem>

namespace holdground {

enum class AnchorInPicture { Yes, No };

enum class GrainsKept { All, NearTheAnchor };

struct SyntheticRecord {
  std::size_t samples = 60;
  std::size_t frames = 4;
  AnchorInPicture anchor = AnchorInPicture::Yes;  ///< No: its meshes lie far above the bed
  GrainsKept grains = GrainsKept::All;            ///< NearTheAnchor: of a third of the bed's length
};

/// Writes DIRECTORY/record.h5 and returns its path.
std::filesystem::path writeSyntheticRecord(const std::filesystem::path& directory,
                                           const SyntheticRecord& wish = {});

}  // namespace holdground
