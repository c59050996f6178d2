#include "solver/contact/adhesive_shares.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include "solver/geometry/bounds.hpp"

namespace holdground {

namespace {

constexpr double kPieceSize = 0.5;  // of the largest diameter: some four pieces a grain
constexpr double kFacing = 0.5;     // cosine between normals of piece and contact: one side
constexpr int kMostCuts = 1000;     // along the edge of a triangle; only absurd meshes need more
constexpr double kMostCells = 1e6;

/// Pieces of one patch that lie in one cube, to become one.
struct Heap {
  Vec3 moment = Vec3::Zero();              ///< area times place [m^3]
  Vec3 normal = Vec3::Zero();              ///< area times normal [m^2]
  double area = 0.0;                       ///< [m^2]
  std::array<double, kMostSoils> force{};  ///< by soil [N]
};

}  // namespace

AdhesiveShares::AdhesiveShares(const ContactSurface& surface, std::span<const double> adhesion,
                               double largestDiameter, std::size_t soils)
    : largestDiameter_(largestDiameter) {
  cut(surface, adhesion, soils);
  if (!pieces_.empty()) sortIntoCells();
}

// Every triangle is cut into n^2 like it; those of one patch within one cube are then heaped up, so
// that the number of pieces follows the area, not the mesh.
void AdhesiveShares::cut(const ContactSurface& surface, std::span<const double> adhesion,
                         std::size_t soils) {
  const double size = kPieceSize * largestDiameter_;
  std::map<std::tuple<std::uint32_t, int, int, int>, Heap> heaps;
  for (std::uint32_t t = 0; t < surface.mesh.triangles.size(); ++t) {
    const auto stress = adhesion.subspan(surface.part[t] * soils, soils);
    if (*std::max_element(stress.begin(), stress.end()) <= 0.0) continue;
    const auto& corners = surface.mesh.triangles[t];
    const Vec3& a = surface.mesh.vertices[corners[0]];
    const Vec3 ab = surface.mesh.vertices[corners[1]] - a;
    const Vec3 ac = surface.mesh.vertices[corners[2]] - a;
    const double longest = std::max({ab.norm(), ac.norm(), (ab - ac).norm()});
    const int n = std::clamp(static_cast<int>(std::ceil(longest / size)), 1, kMostCuts);
    const double area = 0.5 * ab.cross(ac).norm() / (static_cast<double>(n) * n);
    const auto put = [&](double u, double v) {  // place of a centroid, in units of a cut
      const Vec3 at = a + (u / n) * ab + (v / n) * ac;
      const auto cell = [&](int k) { return static_cast<int>(std::floor(at[k] / size)); };
      Heap& heap = heaps[{surface.topology.patch[t], cell(0), cell(1), cell(2)}];
      heap.moment += area * at;
      heap.normal += area * surface.topology.normals[t];
      heap.area += area;
      for (std::size_t s = 0; s < soils; ++s) heap.force[s] += stress[s] * area;
    };
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n - i; ++j) {
        put(i + 1.0 / 3.0, j + 1.0 / 3.0);
        if (i + j < n - 1) put(i + 2.0 / 3.0, j + 2.0 / 3.0);
      }
  }
  for (const auto& [key, heap] : heaps)
    pieces_.push_back({heap.moment / heap.area, heap.normal.normalized(), heap.force});
}

void AdhesiveShares::sortIntoCells() {
  Bounds bounds;
  for (const Piece& piece : pieces_) bounds.add(piece.point);
  lower_ = bounds.lower;
  const Vec3 span = bounds.size();
  cellSize_ = largestDiameter_;
  const auto cells = [&] { return ((span / cellSize_).array() + 1.0).prod(); };
  while (cells() > kMostCells) cellSize_ *= 2.0;
  for (std::size_t k = 0; k < 3; ++k)
    count_[k] = static_cast<int>(span[static_cast<int>(k)] / cellSize_) + 1;

  const auto cellIndex = [&](const Piece& piece) {
    const std::array<int, 3> c = cellOf(piece.point);
    return indexOf(c[0], c[1], c[2]);
  };
  std::stable_sort(pieces_.begin(), pieces_.end(),
                   [&](const Piece& a, const Piece& b) { return cellIndex(a) < cellIndex(b); });
  start_.assign(indexOf(0, 0, count_[2]) + 1, 0);
  for (const Piece& piece : pieces_) ++start_[cellIndex(piece) + 1];
  for (std::size_t k = 1; k < start_.size(); ++k) start_[k] += start_[k - 1];
}

std::array<int, 3> AdhesiveShares::cellOf(const Vec3& point) const {
  std::array<int, 3> cell;
  for (std::size_t k = 0; k < 3; ++k) {
    const auto axis = static_cast<int>(k);
    const double u = std::floor((point[axis] - lower_[axis]) / cellSize_);
    cell[k] = static_cast<int>(std::clamp(u, 0.0, count_[k] - 1.0));
  }
  return cell;
}

std::size_t AdhesiveShares::indexOf(int x, int y, int z) const {
  return (static_cast<std::size_t>(z) * static_cast<std::size_t>(count_[1]) +
          static_cast<std::size_t>(y)) *
             static_cast<std::size_t>(count_[0]) +
         static_cast<std::size_t>(x);
}

/// Calls visit(piece, square of the distance in diameters) for all that face the contact's side.
template <class Visit>
void AdhesiveShares::visitNear(const StickyContact& contact, double reach, Visit&& visit) const {
  const Vec3 margin = Vec3::Constant(reach * contact.diameter);
  const std::array<int, 3> low = cellOf(contact.point - margin);
  const std::array<int, 3> high = cellOf(contact.point + margin);
  const double perSquare = 1.0 / (contact.diameter * contact.diameter);
  for (int z = low[2]; z <= high[2]; ++z)
    for (int y = low[1]; y <= high[1]; ++y) {
      const std::uint32_t end = start_[indexOf(high[0], y, z) + 1];
      for (std::uint32_t k = start_[indexOf(low[0], y, z)]; k < end; ++k) {
        const double squared = (pieces_[k].point - contact.point).squaredNorm() * perSquare;
        if (squared < reach * reach && pieces_[k].normal.dot(contact.normal) > kFacing)
          visit(k, squared);
      }
    }
}

void AdhesiveShares::share(std::span<StickyContact> contacts) {
  nearest_.assign(pieces_.size(), std::numeric_limits<double>::max());
  owner_.assign(pieces_.size(), 0);
  covered_.assign(pieces_.size(), 0);
  for (std::uint32_t c = 0; c < contacts.size(); ++c) {
    StickyContact& contact = contacts[c];
    contact.force = 0.0;
    if (contact.state == StickyContact::State::kNear) {
      visitNear(contact, kCover, [&](std::uint32_t piece, double) { covered_[piece] = 1; });
      continue;
    }
    visitNear(contact, kSpread, [&](std::uint32_t piece, double squared) {
      if (squared < kCover * kCover) covered_[piece] = 1;
      if (squared >= nearest_[piece]) return;
      nearest_[piece] = squared;
      owner_[piece] = c;
    });
  }
  for (std::size_t k = 0; k < pieces_.size(); ++k)
    if (covered_[k] && nearest_[k] < std::numeric_limits<double>::max())
      contacts[owner_[k]].force += pieces_[k].force[contacts[owner_[k]].soil];
}

}  // namespace holdground
