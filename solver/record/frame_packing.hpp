#pragma once
// The grains of a frame as they are stored; rules and error bounds in format_frame.hpp.
// Checked by: tests/unit/record/frame_packing_test.cpp

#include <cstdint>
#include <vector>

#include "solver/record/format_frame.hpp"

namespace holdground {

struct PackedGrains {
  double unit = format::kBaseUnit;    ///< of one count [m]
  std::vector<std::int16_t> counts;   ///< three for each grain
  std::vector<std::uint16_t> speeds;  ///< half floats [m/s]
};

/// Displacements from `reference` [m], the shortest way round a domain of the lengths [m].
PackedGrains packGrains(const FrameData& frame, const std::vector<Vec3>& reference, double lengthX,
                        double lengthY);

}  // namespace holdground
