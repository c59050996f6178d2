#include "scenarios/pattern/scoop_pattern.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/pattern/fluke_surface.hpp"
#include "scenarios/pattern/plate_loft.hpp"
#include "scenarios/pattern/roll_bar.hpp"
#include "scenarios/pattern/scoop_limits.hpp"
#include "scenarios/pattern/shank_outline.hpp"

namespace holdground {

namespace {

int pieces(double length, double size) {
  return std::max(1, static_cast<int>(std::lround(length / size)));
}

/// Appends points that cut (from, to] into `count` equal pieces; `to` is exact.
void cut(std::vector<double>& points, double to, int count) {
  const double from = points.back();
  for (int i = 1; i < count; ++i) points.push_back(from + (to - from) * i / count);
  points.push_back(to);
}

/// Columns on the port side as shares: in the flat part, then in the bent part.
struct Columns {
  int flat, bent;
};

Columns columnsFor(const ScoopPattern& pattern, const FlukeSurface& fluke) {
  const double s = pattern.widestAt;
  // Across the fluke coarser than along: panels are flat there.
  const double size = 1.4 * pattern.meshSize;
  return {pieces(fluke.bendLine(s) - fluke.stripHalfWidth(s), size),
          pieces(fluke.halfWidth(s) - fluke.bendLine(s), size)};
}

/// The y of every column at station s, starboard to port.
std::vector<double> columnPlaces(const FlukeSurface& fluke, const Columns& columns, double s) {
  std::vector<double> port{fluke.stripHalfWidth(s)};
  cut(port, fluke.bendLine(s), columns.flat);
  cut(port, fluke.halfWidth(s), columns.bent);
  std::vector<double> all;
  for (auto y = port.rbegin(); y != port.rend(); ++y) all.push_back(-*y);
  all.insert(all.end(), port.begin(), port.end());
  return all;
}

/// Ever closer toward the point, where the columns are close too.
std::vector<double> toeStations(const ScoopPattern& pattern, double seam) {
  constexpr double kGrading = 1.7;
  const int count = std::max(4, pieces(pattern.toeLength, 0.75 * pattern.meshSize));
  std::vector<double> stations{seam};
  for (int i = 1; i < count; ++i) {
    const double left = std::pow(1.0 - static_cast<double>(i) / count, kGrading);
    stations.push_back(pattern.flukeLength - pattern.toeLength * left);
  }
  stations.push_back(pattern.flukeLength);
  return stations;
}

TriangleMesh flukeMesh(const FlukeSurface& fluke, const Columns& columns,
                       const std::vector<double>& stations) {
  const int rows = static_cast<int>(stations.size());
  const int count = 2 * (1 + columns.flat + columns.bent);
  PointGrid upper(rows, count), lower(rows, count);
  for (int r = 0; r < rows; ++r) {
    const std::vector<double> places = columnPlaces(fluke, columns, stations[r]);
    for (int c = 0; c < count; ++c) {
      upper.at(r, c) = fluke.upper(stations[r], places[c]);
      lower.at(r, c) = fluke.lower(stations[r], places[c]);
    }
  }
  return loftPlate(upper, lower, Diagonals::kMirrored);
}

/// The shank stands on the strip of the fluke between two of its columns: its foot is made of the
/// fluke's own vertices at `rootStations`.
TriangleMesh shankMesh(const ScoopPattern& pattern, const FlukeSurface& fluke,
                       const std::vector<double>& rootStations) {
  const std::vector<ShankSection> sections = shankSections(pattern);
  const int rows = static_cast<int>(sections.size());
  const int columns = static_cast<int>(rootStations.size());
  const double half = 0.5 * pattern.shankThickness;
  // Seen from starboard, rows go up and forward and columns, from the fore edge, aft.
  PointGrid starboard(rows, columns), port(rows, columns);
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < columns; ++c) {
      const double share = static_cast<double>(c) / (columns - 1);
      Vec3 point = sections[r].fore + share * (sections[r].aft - sections[r].fore);
      if (r == 0) point = fluke.upper(rootStations[columns - 1 - c], 0.0);
      starboard.at(r, c) = {point.x(), -half, point.z()};
      port.at(r, c) = {point.x(), half, point.z()};
    }
  }
  return loftPlate(starboard, port, Diagonals::kAlike);
}

}  // namespace

double flukeAngle(const ScoopPattern& pattern) {
  return std::atan2(pattern.shankHeight, pattern.shankReach);
}

PatternAnchor drawScoop(const ScoopPattern& pattern) {
  checkScoop(pattern);
  const FlukeSurface fluke(pattern);
  const Columns columns = columnsFor(pattern, fluke);
  const double rootEnd = pattern.shankRootAft + pattern.shankRootLength;

  std::vector<double> plate{0.0};
  cut(plate, pattern.shankRootAft, pieces(pattern.shankRootAft, pattern.meshSize));
  std::vector<double> root{pattern.shankRootAft};
  cut(root, rootEnd, pieces(pattern.shankRootLength, 1.6 * pattern.meshSize));
  plate.insert(plate.end(), root.begin() + 1, root.end());
  cut(plate, fluke.seam(), pieces(fluke.seam() - rootEnd, pattern.meshSize));
  const std::vector<double> toe = toeStations(pattern, fluke.seam());

  PatternAnchor anchor;
  anchor.parts = {
      {"fluke", PartRole::kFluke, flukeMesh(fluke, columns, plate), pattern.density, {}},
      {"toe", PartRole::kFluke, flukeMesh(fluke, columns, toe), pattern.density, {}},
      {"shank", PartRole::kShank, shankMesh(pattern, fluke, root), pattern.density, {}}};
  if (pattern.rollBarDiameter > 0.0) {
    anchor.parts.push_back(
        {"roll-bar", PartRole::kRollBar, rollBarMesh(pattern), rollBarDensity(pattern), {}});
  }
  anchor.shackle = {pattern.shankReach, 0.0, pattern.shankHeight};
  anchor.toe = {pattern.flukeLength, 0.0, 0.0};
  anchor.heel = Vec3::Zero();
  return anchor;
}

}  // namespace holdground
