#pragma once
// Vector types and physical constants used by every module. SI units throughout.
//
// World frame: x horizontal along the first direction of pull (toward the boat), y to port,
// z up; z = 0 is the mean surface of the undisturbed bed, x = y = 0 the setting point.

#include <Eigen/Dense>
#include <Eigen/Geometry>

namespace holdground {

using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;
using Quat = Eigen::Quaterniond;

inline constexpr double kPi = 3.14159265358979323846;

/// Standard acceleration of free fall [m/s^2] (ISO 80000-3).
inline constexpr double kStandardGravity = 9.80665;

}  // namespace holdground
