#include "solver/geometry/mesh_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>
#include <unordered_map>

#include "solver/core/errors.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/surface_crossing.hpp"

namespace holdground {

namespace {

constexpr double kWeldShare = 1e-6;    // of the diagonal: single precision at the size of the part
constexpr double kThinnest = 1e-6;     // height over longest edge below which a triangle is a line
constexpr double kLeastVolume = 1e-9;  // over the cube of the diagonal
constexpr double kMostTwice = 0.01;    // volume enclosed twice, over that of a shell there
constexpr double kLargestPart = 5.0;   // [m]
constexpr double kSmallestPart = 0.005;  // [m]

struct HalfEdge {
  std::uint32_t low, high;
  std::uint32_t triangle;
  bool forward;  // walked from low to high
};

class Checker {
 public:
  Checker(const TriangleMesh& mesh, const MeshOrigin& origin) : mesh_(mesh), origin_(origin) {}

  void run() {
    if (mesh_.triangles.empty()) fail("holds no triangles");
    checkFinite();
    bounds_ = boundsOf(mesh_);
    checkSize();
    checkTriangles();
    checkEdges();
    checkSides();
    checkCrossing();
    checkNesting();
  }

 private:
  [[noreturn]] void fail(const std::string& what) const {
    throw InputError(origin_.file + ": " + what);
  }

  std::string place(const Vec3& p) const {
    return fmt::format("({:.6g}, {:.6g}, {:.6g}) {}", p.x(), p.y(), p.z(), origin_.unitName);
  }
  std::string triangle(std::uint32_t t) const {
    return fmt::format("triangle {} of {}", t + 1, mesh_.triangles.size());
  }

  void checkFinite() const {
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
      for (int k = 0; k < 3; ++k) {
        if (mesh_.corner(t, k).allFinite()) continue;
        fail(fmt::format("{} has a coordinate that is no finite number: {}", triangle(t),
                         place(mesh_.corner(t, k))));
      }
    }
  }

  void checkSize() const {
    const double size = (bounds_.upper - bounds_.lower).maxCoeff();
    const double metres = size * origin_.unit;
    if (metres <= kLargestPart && metres >= kSmallestPart) return;
    std::string hint;
    for (const auto& [name, unit] :
         {std::pair{"mm", 0.001}, std::pair{"cm", 0.01}, std::pair{"in", 0.0254},
          std::pair{"ft", 0.3048}, std::pair{"m", 1.0}}) {
      const double other = size * unit;
      if (name == origin_.unitName || other < 0.05 || other > 2.0) continue;
      hint += fmt::format("{}{:.3g} m in {}", hint.empty() ? "" : ", ", other, name);
    }
    if (!hint.empty()) hint = "; wrong unit? it would be " + hint;
    fail(fmt::format("is {:.4g} m long with its {:.6g} taken as {}, allowed is {} m to {} m{}",
                     metres, size, origin_.unitName, kSmallestPart, kLargestPart, hint));
  }

  void checkTriangles() const {
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
      const Vec3 a = mesh_.corner(t, 0), b = mesh_.corner(t, 1), c = mesh_.corner(t, 2);
      const double longest =
          std::max({(b - a).squaredNorm(), (c - b).squaredNorm(), (a - c).squaredNorm()});
      if ((b - a).cross(c - a).norm() > kThinnest * longest) continue;
      fail(fmt::format("{} is degenerate (a line or a point) at {}", triangle(t), place(a)));
    }
  }

  std::vector<HalfEdge> sortedHalfEdges() const {
    std::vector<HalfEdge> halves;
    halves.reserve(3 * mesh_.triangles.size());
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
      for (int k = 0; k < 3; ++k) {
        const std::uint32_t a = mesh_.triangles[t][k], b = mesh_.triangles[t][(k + 1) % 3];
        halves.push_back({std::min(a, b), std::max(a, b), t, a < b});
      }
    }
    std::sort(halves.begin(), halves.end(), [](const HalfEdge& p, const HalfEdge& q) {
      return std::tie(p.low, p.high, p.triangle) < std::tie(q.low, q.high, q.triangle);
    });
    return halves;
  }

  void checkEdges() {
    const std::vector<HalfEdge> halves = sortedHalfEdges();
    shell_.resize(mesh_.triangles.size());
    std::iota(shell_.begin(), shell_.end(), 0u);
    const HalfEdge* firstOpen = nullptr;
    std::size_t open = 0;
    for (std::size_t begin = 0; begin < halves.size();) {
      const HalfEdge& edge = halves[begin];
      std::size_t end = begin + 1;
      while (end < halves.size() && halves[end].low == edge.low && halves[end].high == edge.high) {
        ++end;
      }
      if (end - begin > 2) failAt(edge, fmt::format("is shared by {} triangles", end - begin));
      if (end - begin == 1) {
        if (open++ == 0) firstOpen = &edge;
      } else if (edge.forward == halves[begin + 1].forward) {
        failAt(edge, fmt::format("shows that triangles {} and {} are wound against each other",
                                 edge.triangle + 1, halves[begin + 1].triangle + 1));
      } else {
        join(edge.triangle, halves[begin + 1].triangle);
      }
      begin = end;
    }
    if (firstOpen)
      failAt(*firstOpen, fmt::format("is open (has one triangle), as are {} in all", open));
  }

  [[noreturn]] void failAt(const HalfEdge& edge, const std::string& what) const {
    fail(fmt::format("is no closed surface: the edge from {} to {} of {} {}",
                     place(mesh_.vertices[edge.low]), place(mesh_.vertices[edge.high]),
                     triangle(edge.triangle), what));
  }

  std::uint32_t root(std::uint32_t t) {
    while (shell_[t] != t) t = shell_[t] = shell_[shell_[t]];
    return t;
  }
  void join(std::uint32_t a, std::uint32_t b) {
    a = root(a);
    b = root(b);
    shell_[std::max(a, b)] = std::min(a, b);
  }

  void checkSides() {
    std::unordered_map<std::uint32_t, TriangleMesh> pieces;
    for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
      TriangleMesh& piece = pieces[root(t)];
      const auto first = static_cast<std::uint32_t>(piece.vertices.size());
      for (int k = 0; k < 3; ++k) piece.vertices.push_back(mesh_.corner(t, k));
      piece.triangles.push_back({first, first + 1, first + 2});
    }
    double total = 0.0;
    for (const auto& [first, piece] : pieces) {
      shells_.push_back({first, massProperties(piece).volume, boundsOf(piece)});
      total += shells_.back().volume;
    }
    std::sort(shells_.begin(), shells_.end(),
              [](const Shell& a, const Shell& b) { return a.triangle < b.triangle; });
    const double least = kLeastVolume * std::pow(bounds_.diagonal(), 3);
    if (std::abs(total) < least) fail("encloses no volume, its two sides coincide");
    if (total < 0.0) {
      fail(
          fmt::format("is inside out (its triangles wind clockwise seen from outside): it encloses "
                      "{:.4g} {}^3; flip its normals",
                      total, origin_.unitName));
    }
    for (const Shell& shell : shells_) {
      if (shell.volume >= 0.0) continue;
      const bool isCavity = std::any_of(shells_.begin(), shells_.end(), [&](const Shell& other) {
        return other.volume > 0.0 && other.bounds.contains(shell.bounds);
      });
      if (isCavity) continue;
      fail(fmt::format("has a separate shell that is inside out, with {} at {}",
                       triangle(shell.triangle), place(mesh_.corner(shell.triangle, 0))));
    }
  }

  void checkCrossing() const {
    const auto crossing = findCrossing(mesh_);
    if (!crossing) return;
    fail(fmt::format(
        "passes through itself: triangles {} and {} of {} cross at {}; unite what "
        "overlaps, or make it a part of its own",
        crossing->first + 1, crossing->second + 1, mesh_.triangles.size(), place(crossing->point)));
  }

  /// Shells that do not cross may still lie in one another, or nearly on one another.
  void checkNesting() const {
    for (const Shell& shell : shells_) {
      const bool meets = std::any_of(shells_.begin(), shells_.end(), [&](const Shell& other) {
        return other.triangle != shell.triangle && other.bounds.meets(shell.bounds);
      });
      const double share =
          meets ? wronglyEnclosed(mesh_, shell.bounds) / std::abs(shell.volume) : 0.0;
      if (share <= kMostTwice) continue;
      fail(fmt::format(
          "encloses volume twice: the shell with {} at {} lies in another of the same winding, or "
          "holds one; unite what overlaps, and wind the walls of a cavity inward",
          triangle(shell.triangle), place(mesh_.corner(shell.triangle, 0))));
    }
  }

  struct Shell {
    std::uint32_t triangle;  ///< its first
    double volume;
    Bounds bounds;
  };

  const TriangleMesh& mesh_;
  const MeshOrigin& origin_;
  Bounds bounds_;
  std::vector<Shell> shells_;
  std::vector<std::uint32_t> shell_;  ///< union-find over triangles
};

/// Finds an earlier vertex near a given one.
class VertexIndex {
 public:
  explicit VertexIndex(double tolerance) : tolerance_(tolerance) {}

  std::uint32_t add(const Vec3& p, std::vector<Vec3>& vertices) {
    const auto next = static_cast<std::uint32_t>(vertices.size());
    if (!p.allFinite()) {
      vertices.push_back(p);
      return next;
    }
    // A ball as wide as a cell reaches into two cells along each axis at most.
    std::array<double, 3> low, high;
    for (int k = 0; k < 3; ++k) {
      low[k] = cellOf(p[k] - tolerance_);
      high[k] = cellOf(p[k] + tolerance_);
    }
    for (int corner = 0; corner < 8; ++corner) {
      std::array<double, 3> cell;
      bool isNew = true;
      for (int k = 0; k < 3; ++k) {
        const bool takesHigh = (corner >> k) & 1;
        cell[k] = takesHigh ? high[k] : low[k];
        if (takesHigh && high[k] == low[k]) isNew = false;
      }
      if (!isNew) continue;
      const auto [begin, end] = cells_.equal_range(hash(cell[0], cell[1], cell[2]));
      for (auto at = begin; at != end; ++at) {
        if ((vertices[at->second] - p).norm() <= tolerance_) return at->second;
      }
    }
    vertices.push_back(p);
    cells_.emplace(hash(cellOf(p.x()), cellOf(p.y()), cellOf(p.z())), next);
    return next;
  }

 private:
  /// Without tolerance every number is a cell of its own.
  double cellOf(double x) const {
    return tolerance_ > 0.0 ? std::floor(x / (2.0 * tolerance_)) : x;
  }
  static std::size_t hash(double x, double y, double z) {
    const std::hash<double> h;
    return (h(x + 0.0) * 31 + h(y + 0.0)) * 31 + h(z + 0.0);
  }

  double tolerance_;
  std::unordered_multimap<std::size_t, std::uint32_t> cells_;
};

}  // namespace

TriangleMesh weldVertices(const TriangleMesh& mesh, double tolerance) {
  TriangleMesh welded;
  VertexIndex index(tolerance);
  constexpr std::uint32_t kUnused = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> renumbered(mesh.vertices.size(), kUnused);
  welded.triangles.reserve(mesh.triangles.size());
  for (const auto& triangle : mesh.triangles) {
    for (const std::uint32_t v : triangle) {
      if (renumbered[v] == kUnused) renumbered[v] = index.add(mesh.vertices[v], welded.vertices);
    }
    welded.triangles.push_back(
        {renumbered[triangle[0]], renumbered[triangle[1]], renumbered[triangle[2]]});
  }
  return welded;
}

void checkMesh(const TriangleMesh& mesh, const MeshOrigin& origin) { Checker(mesh, origin).run(); }

TriangleMesh weldAndCheck(const TriangleMesh& fromFile, const MeshOrigin& origin) {
  const double size = fromFile.triangles.empty() ? 0.0 : boundsOf(fromFile).diagonal();
  TriangleMesh mesh = weldVertices(fromFile, std::isfinite(size) ? kWeldShare * size : 0.0);
  checkMesh(mesh, origin);
  return mesh;
}

}  // namespace holdground
