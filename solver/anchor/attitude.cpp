#include "solver/anchor/attitude.hpp"

#include <algorithm>
#include <cmath>

namespace holdground {

Mat3 chordFrame(const Anchor& anchor) {
  const Vec3 forward = (anchor.toe - anchor.heel).normalized();
  const Vec3 port = (Vec3::UnitY() - forward * forward.y()).normalized();
  Mat3 frame;
  frame << forward, port, forward.cross(port);
  return frame;
}

Attitude attitudeOf(const Anchor& anchor, const Quat& orientation, double azimuth) {
  const Mat3 r = orientation.toRotationMatrix() * chordFrame(anchor);
  Attitude attitude;
  attitude.pitch = std::asin(std::clamp(-r(2, 0), -1.0, 1.0));
  attitude.list = std::atan2(r(2, 1), r(2, 2));
  attitude.heading = std::remainder(std::atan2(r(1, 0), r(0, 0)) - azimuth, 2.0 * kPi);
  return attitude;
}

Quat orientationFor(const Anchor& anchor, const Attitude& attitude, double azimuth) {
  const Quat chordInWorld = Quat(Eigen::AngleAxisd(azimuth + attitude.heading, Vec3::UnitZ())) *
                            Eigen::AngleAxisd(attitude.pitch, Vec3::UnitY()) *
                            Eigen::AngleAxisd(attitude.list, Vec3::UnitX());
  return (chordInWorld * Quat(chordFrame(anchor)).conjugate()).normalized();
}

}  // namespace holdground
