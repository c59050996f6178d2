#pragma once
// Pitch, list and heading, defined once. The chord frame of an anchor has x from heel to toe, y to
// port (perpendicular to the chord), z completing it. The frame of the pull is the world's turned
// by the azimuth of the pull: x horizontal toward the boat, z up. From the one to the other,
//   R = Rz(heading) Ry(pitch) Rx(list),
// all right-handed about x (forward), y (port), z (up):
//   list    > 0  starboard side down
//   pitch   > 0  toe below heel
//   heading > 0  toe to port of the pull
//
//   from starboard               from astern                from above
//       z up                         z up                  port of pull   toe
//       |                            |                          |      /
//   ----o-----------> x       y -----o----- starboard           |    /
//  heel  '.                  port    | '.                       |  /
//          '. toe                    |   '. starboard side      o----------> pull
//     toe below heel: pitch > 0      down: list > 0           heel   heading > 0

#include "solver/anchor/anchor.hpp"
#include "solver/core/types.hpp"

namespace holdground {

struct Attitude {
  double pitch = 0.0;    ///< [rad], -pi/2 .. pi/2
  double list = 0.0;     ///< [rad], -pi .. pi
  double heading = 0.0;  ///< [rad], -pi .. pi, against the direction of the pull
};

/// Rotation from chord frame to anchor frame (columns: chord axes in the anchor frame).
Mat3 chordFrame(const Anchor& anchor);

/// Attitude of an anchor whose frame has been turned by `orientation` into the world.
/// @param azimuth  of the pull, from the x axis to port [rad]
Attitude attitudeOf(const Anchor& anchor, const Quat& orientation, double azimuth = 0.0);

/// The orientation (anchor frame into world) that has this attitude.
Quat orientationFor(const Anchor& anchor, const Attitude& attitude, double azimuth = 0.0);

}  // namespace holdground
