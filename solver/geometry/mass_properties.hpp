#pragma once
// Volume, centroid and inertia of the solid a closed triangle mesh encloses.
// Source: Mirtich 1996, J. Graphics Tools 1(2):31 (divergence theorem over the faces); summed here
//   as signed tetrahedra with the closed-form second moments of Tonon 2004, J. Math. Stat. 1(1):8.
// Symbols: density 1 kg/m^3, so that mass = volume; V [m^3], centroid [m], inertia [m^5].
// Valid for closed, consistently wound meshes (checked by mesh_checks); turned inside out, volume
//   and inertia change sign.
// Checked by tests/unit/geometry/mass_properties_test.cpp and
//   tests/verification/geometry/mass_properties_convergence_test.cpp.

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

struct MassProperties {
  double volume = 0.0;           ///< [m^3]
  double area = 0.0;             ///< of the surface [m^2]
  Vec3 centroid = Vec3::Zero();  ///< frame of the mesh [m]
  Mat3 inertia = Mat3::Zero();   ///< about the centroid, axes of the mesh, unit density [m^5]
};

MassProperties massProperties(const TriangleMesh& mesh);

/// Inertia about a point `offset` away from the centre of mass (Steiner) [kg m^2].
/// @param inertia about the centre of mass [kg m^2], @param mass [kg], @param offset [m].
Mat3 shiftInertia(const Mat3& inertia, double mass, const Vec3& offset);

}  // namespace holdground
