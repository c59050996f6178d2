#pragma once
// Where a sphere touches a surface: the local minima of the distance from its centre.
//
// A minimum is a foot inside a face on its front side, a point of an edge whose centre lies in the
// wedge of the edge's normals, or a vertex whose centre lies in its cone of normals. So a convex
// edge gives one contact and a concave corner two. Of all minima on one smooth patch only the
// nearest counts: a tessellated flat or a finely faceted curve gives one.
// Source: sign of the distance by pseudonormals, Baerentzen & Aanaes 2005, IEEE TVCG 11:243.
// Symbols: c centre, p point, v = c - p. Frame: that of the surface. Metres.
// Valid for: centres outside the solid; closed, open and joined surfaces.
// Promises: no allocation, thread-safe; independent of the order and choice of the triangles given,
//   as long as all within reach are among them.
// Checked by tests/unit/contact/surface_minima_test.cpp.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/geometry/closest_point.hpp"
#include "solver/geometry/surface_topology.hpp"

namespace holdground {

/// The smooth patches that meet at a point: one in a face, two at a crease, more at a corner.
class PatchSet {
 public:
  static constexpr int kCapacity = 6;

  void add(std::uint32_t patch);  ///< ignored when already in, or full
  bool sharesWith(const PatchSet& other) const;
  bool contains(std::uint32_t patch) const;
  int size() const { return static_cast<int>(size_); }
  std::uint32_t front() const { return patches_[0]; }
  std::uint32_t operator[](int k) const { return patches_[static_cast<std::size_t>(k)]; }

 private:
  std::array<std::uint32_t, kCapacity> patches_{};
  std::uint32_t size_ = 0;
};

struct SurfaceMinimum {
  Vec3 point;              ///< on the surface [m]
  Vec3 normal;             ///< unit, from the point to the centre
  double distance;         ///< [m] > 0
  std::uint32_t triangle;  ///< that holds the point
  PatchSet patches;
};

/// At most a few: a sphere rarely touches more patches than three.
struct MinimumList {
  static constexpr int kCapacity = 16;
  std::array<SurfaceMinimum, kCapacity> items;
  int size = 0;

  const SurfaceMinimum* begin() const { return items.data(); }
  const SurfaceMinimum* end() const { return items.data() + size; }
};

class SurfaceMinima {
 public:
  SurfaceMinima() = default;
  explicit SurfaceMinima(ContactSurface surface);

  /// Minima nearer than `radius` to `centre`, nearest first, no two on one patch.
  /// @param triangles all that may be within reach, each once.
  /// @param guess triangles tried first (those touched a moment ago): speeds the search up, changes
  ///   nothing else.
  void find(const Vec3& centre, double radius, std::span<const std::uint32_t> triangles,
            std::span<const std::uint32_t> guess, MinimumList& found) const;

  /// True when a centre within `slack` of this one may have a minimum nearer than `radius` on the
  /// triangle; false only when it certainly has none.
  bool mayTouch(std::uint32_t triangle, const Vec3& centre, double radius, double slack) const;

  const ContactSurface& surface() const { return surface_; }
  /// Largest distance of a vertex from the origin of the frame [m].
  double extent() const { return extent_; }
  std::uint16_t part(std::uint32_t triangle) const { return surface_.part[triangle]; }

 private:
  struct Facet {  ///< one cache line, what rejects most triangles
    Vec3 normal;
    double offset;  ///< normal . x on the plane
    Vec3 middle;    ///< centre of the bounding sphere
    double boundingRadius;
  };
  struct EdgeSide {  ///< one triangle at an edge
    std::uint32_t triangle;
    Vec3 inward;  ///< unit, in the triangle's plane, across the edge into it
  };

  bool mayBeWithin(std::uint32_t triangle, const Vec3& centre, double distance) const {
    const Facet& facet = facets_[triangle];
    const double reach = distance + facet.boundingRadius;
    return (centre - facet.middle).squaredNorm() <= reach * reach;
  }
  void tryTriangle(std::uint32_t triangle, const Vec3& centre, double radius,
                   MinimumList& found) const;
  bool isEdgeMinimum(std::uint32_t edge, const Vec3& v, PatchSet& patches) const;
  bool isVertexMinimum(std::uint32_t vertex, const Vec3& v, PatchSet& patches) const;

  ContactSurface surface_;
  std::vector<Facet> facets_;
  std::vector<std::uint32_t> edgeStart_;  ///< CSR into edgeSides_
  std::vector<EdgeSide> edgeSides_;
  std::vector<Vec3> edgeNormal_;    ///< sum of the normals on either side
  std::vector<Vec3> vertexNormal_;  ///< angle-weighted
  double extent_ = 0.0;
};

}  // namespace holdground
