#include "solver/geometry/mass_properties.hpp"

namespace holdground {

namespace {

Mat3 inertiaFromSecondMoment(const Mat3& moment) {
  return moment.trace() * Mat3::Identity() - moment;
}

}  // namespace

Mat3 shiftInertia(const Mat3& inertia, double mass, const Vec3& offset) {
  const Mat3 moment = offset * offset.transpose();
  return inertia + mass * inertiaFromSecondMoment(moment);
}

MassProperties massProperties(const TriangleMesh& mesh) {
  MassProperties result;
  if (mesh.triangles.empty()) return result;

  // A reference point amid the mesh keeps a body far from the origin from losing digits.
  Vec3 reference = Vec3::Zero();
  for (const Vec3& v : mesh.vertices) reference += v;
  reference /= static_cast<double>(mesh.vertices.size());

  double volume = 0.0;
  Vec3 first = Vec3::Zero();   // integral of x
  Mat3 second = Mat3::Zero();  // integral of x x^T
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0) - reference;
    const Vec3 b = mesh.corner(t, 1) - reference;
    const Vec3 c = mesh.corner(t, 2) - reference;
    const double sixVolumes = a.dot(b.cross(c));
    const Vec3 sum = a + b + c;
    volume += sixVolumes / 6.0;
    first += sixVolumes / 24.0 * sum;
    second += sixVolumes / 120.0 *
              (sum * sum.transpose() + a * a.transpose() + b * b.transpose() + c * c.transpose());
    result.area += 0.5 * (b - a).cross(c - a).norm();
  }
  result.volume = volume;
  if (volume == 0.0) {
    result.centroid = reference;
    return result;
  }
  const Vec3 centroid = first / volume;
  result.centroid = reference + centroid;
  second -= volume * centroid * centroid.transpose();
  result.inertia = inertiaFromSecondMoment(second);
  return result;
}

}  // namespace holdground
