#pragma once
// Stress, packing and motion of a horizontal slice of grains, over the whole of a periodic bed.
//
// Source: Love 1927, Weber 1966 (from memory): sigma_ij = (1/V) sum f_i l_j over the contacts, f
//   the force on a, l the branch from b to a; compression is positive, as in soil mechanics.
//   A branch partly in the slice counts by the share of it inside. Why: a plane hands upward the
//   sum of f over the branches it cuts; its mean over all planes of the slice is the same sum with
//   j = z. So at rest sigma_zz is the mean weight over area of the grains whose centres lie above
//   (method of planes, Todd, Evans & Daivis 1995, from memory). The kinetic part sum m v'_i v'_j/V
//   takes v' from a velocity linear in z: a shear flow is no agitation.
//   A stone is one grain: its branches end in its centre of mass, whichever sphere was touched.
// Frame: world. Checked by: tests/verification/grains/slice_state_test.cpp

#include "solver/core/types.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

/// A horizontal slice, heights in the world [m].
struct Slice {
  double lower, upper;
};

struct SliceState {
  Mat3 contactStress = Mat3::Zero();  ///< compression positive [Pa]
  Mat3 kineticStress = Mat3::Zero();  ///< the same of the grains' agitation [Pa]
  double solidFraction = 0.0;     ///< by segments of spheres; those of a stone fill its volume [-]
  double coordination = 0.0;      ///< mean contacts of a grain or stone whose centre is inside
  Vec3 velocity = Vec3::Zero();   ///< mean by mass [m/s]
  Vec3 shearRate = Vec3::Zero();  ///< dv/dz of the line fitted to velocity against height [1/s]

  Mat3 stress() const { return contactStress + kineticStress; }
};

/// Call after updateNeighbours(). A pass over all contacts.
SliceState sliceState(const GrainKernel& kernel, const Slice& slice);

/// Principal stresses of the symmetric part [Pa].
struct PrincipalStress {
  double largest, middle, smallest;
  double mean() const { return 0.5 * (largest + smallest); }   ///< centre of the largest circle
  double shear() const { return 0.5 * (largest - smallest); }  ///< its radius
  /// sin phi mobilised without cohesion, (s1 - s3)/(s1 + s3).
  double mobilisedSine() const { return shear() / mean(); }
};
PrincipalStress principalStress(const Mat3& stress);

/// Volume of a sphere between two heights [m^3]; `height` of its centre.
double sphereVolumeBetween(double radius, double height, const Slice& slice);

}  // namespace holdground
