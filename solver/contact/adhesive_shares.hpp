#pragma once
// Which touching grain each piece of sticky steel clings to.
//
// Adhesion is a stress, but grains touch in points, and how many do depends on packing, load and
// cohesion (0.2 to 0.9 a square diameter in beds at rest on a plate): no constant area per grain
// gives the stress back. So the steel is cut into pieces. A piece is covered when the ground is
// near: a grain less than kNearness diameters away from the steel has its nearest point within
// kCover of it. A covered piece clings to the touching grain nearest to it, in diameters of that
// grain, within kSpread. So the shares add up to stress times covered area while anything there
// touches at all. Only grains on the side that a piece faces count. Frame: the body's. SI units.
// Promises: a function of the contacts and their order alone; no state but scratch.
// Checked by tests/unit/contact/adhesive_shares_test.cpp,
//   tests/verification/contact/steel_adhesion_test.cpp

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/geometry/surface_topology.hpp"
#include "solver/state/grain_material.hpp"

namespace holdground {

/// A grain on the steel or near it, as the steel sees it.
struct StickyContact {
  enum class State { kNear, kTouching };

  Vec3 point;       ///< of the surface, nearest to the grain [m]
  Vec3 normal;      ///< unit, toward the grain
  double diameter;  ///< of the grain [m]
  State state;
  std::uint8_t soil = 0;
  double force = 0.0;  ///< what it can hold along the steel at no normal force [N]
};

class AdhesiveShares {
 public:
  // All in diameters of a grain. The first two say how rough ground of coarse grains may lie
  // against flat steel and still count as lying against it.
  static constexpr double kNearness = 0.5;
  static constexpr double kCover = 1.0;
  static constexpr double kSpread = 3.0;

  AdhesiveShares() = default;
  /// @param adhesion of each part to each soil, part by part [Pa].
  /// @param largestDiameter of any grain [m].
  AdhesiveShares(const ContactSurface& surface, std::span<const double> adhesion,
                 double largestDiameter, std::size_t soils = 1);

  /// No part is sticky: nothing to share.
  bool empty() const { return pieces_.empty(); }

  /// Fills in the force of each contact. Contacts in a fixed order: the first of two equally near
  /// takes the piece.
  void share(std::span<StickyContact> contacts);

 private:
  struct Piece {
    Vec3 point;                            ///< [m]
    Vec3 normal;                           ///< unit
    std::array<double, kMostSoils> force;  ///< by soil: adhesion times area [N]
  };

  void cut(const ContactSurface& surface, std::span<const double> adhesion, std::size_t soils);
  void sortIntoCells();
  std::array<int, 3> cellOf(const Vec3& point) const;
  std::size_t indexOf(int x, int y, int z) const;
  template <class Visit>
  void visitNear(const StickyContact& contact, double reach, Visit&& visit) const;

  double largestDiameter_ = 0.0;
  std::vector<Piece> pieces_;  ///< by cell
  Vec3 lower_ = Vec3::Zero();
  double cellSize_ = 1.0;
  std::array<int, 3> count_{0, 0, 0};
  std::vector<std::uint32_t> start_;  ///< CSR: first piece of each cell

  // Scratch, of each piece:
  std::vector<double> nearest_;       ///< square of the distance to its owner [diameters^2]
  std::vector<std::uint32_t> owner_;  ///< index of a contact
  std::vector<std::uint8_t> covered_;
};

}  // namespace holdground
