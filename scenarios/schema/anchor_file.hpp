#pragma once
// The keys of an anchor file. Checked by tests/unit/scenarios/anchor_file_test.cpp.

#include <array>
#include <deque>
#include <filesystem>
#include <string>

#include "scenarios/schema/anchor_spec.hpp"
#include "scenarios/schema/schema.hpp"

namespace holdground {

/// One [[part]] as written, before directions and paths are worked out.
struct PartDraft {
  PartSpec part;
  std::string mesh;
  int forward = 0, up = 4;                    ///< axes of the mesh file: index into kAxes
  double roll = 0.0, pitch = 0.0, yaw = 0.0;  ///< applied after the axes [rad]
};

/// Names of the axes a mesh file may use, in the order +x -x +y -y +z -z.
inline constexpr std::array<const char*, 6> kAxes = {"+x", "-x", "+y", "-y", "+z", "-z"};

/// A spec and what else a file may say on the way to it.
struct AnchorDraft {
  AnchorSpec spec;
  ScoopPattern pattern;
  SurfaceSpec surface;          ///< of every part that does not say otherwise
  PartDraft sample;             ///< what the reference of keys shows
  std::deque<PartDraft> parts;  // deque: schemas point into it
};

/// The keys, bound to `draft`.
TableSchema anchorSchema(AnchorDraft& draft);

/// Throws InputError: one line with file, line, column and key.
AnchorSpec readAnchorFile(const std::filesystem::path& path);

}  // namespace holdground
