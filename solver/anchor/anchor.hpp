#pragma once
// An anchor as the solver knows it: closed surfaces, one free rigid body, three named points.
//
// Anchor frame: the frame of the part meshes after their orientation is applied; metres. Attitude
// is never read off this frame but off the chord from heel to toe and the port direction
// (attitude.hpp).

#include <string>
#include <vector>

#include "solver/core/types.hpp"
#include "solver/geometry/triangle_mesh.hpp"
#include "solver/state/surface.hpp"

namespace holdground {

enum class PartRole { kFluke, kShank, kStock, kRollBar, kCrown, kBallast, kOther };

struct AnchorPart {
  std::string name;
  PartRole role = PartRole::kOther;     ///< fluke parts count for width and buried share
  TriangleMesh mesh;                    ///< closed, outward winding, anchor frame [m]
  double density = 7850.0;              ///< [kg/m^3]
  Surface surface;                      ///< on soil 0 of the bed
  std::vector<Surface> onLowerSoils{};  ///< on soils 1, 2, ... of a stack; empty: alike on all
};

/// Attitude at which an anchor is laid on the bed before the pull; signs as in attitude.hpp.
struct SettingPose {
  double pitch = 0.0;    ///< toe down positive [rad]
  double list = 0.0;     ///< to starboard positive [rad]
  double heading = 0.0;  ///< toe to port of the pull positive [rad]
};

struct Anchor {
  std::string name;
  std::vector<AnchorPart> parts;
  double mass = 0.0;                   ///< in air [kg], after adjustment to the bench scales
  Vec3 centreOfMass = Vec3::Zero();    ///< anchor frame [m]
  Mat3 inertia = Mat3::Zero();         ///< about the centre of mass, anchor frame [kg m^2]
  double volume = 0.0;                 ///< displaced [m^3]
  Vec3 centreOfVolume = Vec3::Zero();  ///< where buoyancy acts, anchor frame [m]
  Vec3 shackle = Vec3::Zero();         ///< where the rode pulls, anchor frame [m]
  Vec3 toe = Vec3::Zero();             ///< foremost point of the fluke, anchor frame [m]
  Vec3 heel = Vec3::Zero();            ///< aft end of the fluke on the centreline, anchor frame [m]
  double length = 0.0;                 ///< over all, along the chord (extents.hpp) [m]
  double flukeWidth = 0.0;             ///< over all fluke parts, across the chord [m]
  SettingPose settingPose;
};

}  // namespace holdground
