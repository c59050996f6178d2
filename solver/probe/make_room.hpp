#pragma once
// Takes out of a bed the grains that a body wished into it would overlap: those whose centre lies
// in the body, and those that reach into it; a stone goes as a whole.
// Source: inside by the winding number, the sum of solid angles of all triangles over 4 pi
//   (Van Oosterom & Strackee 1983, IEEE Trans. Biomed. Eng. 30:125).
// Checked by: tests/unit/probe/make_room_test.cpp

#include <span>
#include <vector>

#include "solver/geometry/triangle_mesh.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

struct RoomyBed {
  GrainSet grains;              ///< without those taken out; ids close up
  std::size_t taken = 0;        ///< grains
  std::size_t takenFrozen = 0;  ///< of these, held ones
};

/// @param solids  closed meshes, world frame; each grain is seen at its image nearest to the middle
///   of a mesh. @param setbackShares  of its diameter, by which a grain may sink in, by soil
RoomyBed makeRoom(const GrainSet& bed, std::span<const TriangleMesh> solids,
                  const std::vector<double>& setbackShares);

}  // namespace holdground
