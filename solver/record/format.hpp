#pragma once
// The record of one run, `record.h5`: names, shapes, units, version. One HDF5 file, readable while
// it is written and after the writer was killed.
//
// Every dataset carries the attributes `unit`, `frame` and `description`. SI units, radians.
// n rows of the series, f frames, N grains, P parts; n and f grow.
//
//   /                  attributes `format`, `format_version`, `program_version`; see format_run.hpp
//   /provenance        attributes and texts: what ran, with what, and what to be careful about
//   /anchor            attributes; /anchor/parts/0..P-1: vertices [V,3], triangles [T,3]
//   /bed               attributes: domain, tile, material, water
//   /series/<column>   [n], [n,3], [n,4] or [n,P,3]; columns in format_series.hpp
//   /frames            radius [N], reference_position [N,3], frozen [N], layer [N] or [0];
//                      time [f], position [f,3],
//                      orientation [f,4], boat_end [f,3], displacement_unit [f],
//                      displacement [f,N,3] int16, speed [f,N] half float; format_frame.hpp
//   /progress          [3]: rows, frames and closings that are whole. Only these count: a killed
//                      writer or a full disk may leave more in the datasets.
//   /closing           written when the run ends in an orderly way; empty until then

namespace holdground::format {

inline constexpr const char* kFormatName = "holdground-record";

/// Raised with every change of what the file holds: readers ask for all they know and refuse other
/// versions.
inline constexpr int kFormatVersion = 3;

/// Attributes of every dataset.
inline constexpr const char* kUnit = "unit";
inline constexpr const char* kFrame = "frame";
inline constexpr const char* kDescription = "description";

inline constexpr const char* kProgress = "progress";

inline constexpr const char* kWorldFrame =
    "world: x along the bed, toward the boat of a pull in direction 0, y to port of it, z up; z = "
    "0 "
    "undisturbed bed surface; x = y = 0 setting point";
inline constexpr const char* kAnchorFrame = "anchor: the frame of the part meshes";
inline constexpr const char* kNoFrame = "none";

}  // namespace holdground::format
