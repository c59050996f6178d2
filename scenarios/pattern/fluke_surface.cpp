#include "scenarios/pattern/fluke_surface.hpp"

#include <algorithm>
#include <cmath>

namespace holdground {

namespace {

constexpr double kStripShare = 0.4;     // of the half width, at most
constexpr double kThickestShare = 0.5;  // where along the solid toe its keel is deepest

}  // namespace

double FlukeSurface::halfWidth(double s) const {
  const double widest = 0.5 * p_.flukeWidth, heel = 0.5 * p_.heelWidth, toe = 0.5 * p_.toeWidth;
  if (s < p_.widestAt) {
    // Tangent to the widest section, so that the outline has no corner there.
    const double u = 1.0 - s / p_.widestAt;
    return widest - (widest - heel) * u * u;
  }
  const double u = (s - p_.widestAt) / (p_.flukeLength - p_.widestAt);
  return widest - (widest - toe) * std::pow(u, p_.toeFullness);
}

double FlukeSurface::stripHalfWidth(double s) const {
  return std::min(0.5 * p_.shankThickness, kStripShare * halfWidth(s));
}

double FlukeSurface::bendLine(double s) const {
  const double strip = stripHalfWidth(s);
  return strip + p_.bendLine * (halfWidth(s) - strip);
}

double FlukeSurface::faceHeight(double s) const {
  const double u = s / p_.flukeLength;
  return -4.0 * p_.dish * u * (1.0 - u);
}

double FlukeSurface::thickness(double s, double y) const {
  if (s <= seam()) return p_.flukeThickness;
  const double u = (s - seam()) / p_.toeLength;
  const double edge = p_.flukeThickness + (p_.tipThickness - p_.flukeThickness) * u;
  double keel = 0.0;
  if (u < kThickestShare) {
    const double v = u / kThickestShare;
    keel = p_.flukeThickness + (p_.toeThickness - p_.flukeThickness) * v * v * (3.0 - 2.0 * v);
  } else {
    const double v = (u - kThickestShare) / (1.0 - kThickestShare);
    keel = p_.toeThickness + (p_.tipThickness - p_.toeThickness) * v;
  }
  const double strip = stripHalfWidth(s), width = halfWidth(s);
  const double inward = std::clamp((width - std::abs(y)) / (width - strip), 0.0, 1.0);
  return edge + std::max(0.0, keel - edge) * inward;
}

Vec3 FlukeSurface::panelNormal(double s, double side) const {
  const double step = 1e-6 * p_.flukeLength;
  const double low = std::max(0.0, s - step), high = std::min(p_.flukeLength, s + step);
  double slopeX = (faceHeight(high) - faceHeight(low)) / (high - low);
  const double slope = std::tan(p_.edgeBend);
  if (side != 0.0) slopeX += slope * (bendLine(high) - bendLine(low)) / (high - low);
  return Vec3(-slopeX, side * slope, 1.0).normalized();
}

Vec3 FlukeSurface::upper(double s, double y) const {
  const double beyond = std::max(0.0, std::abs(y) - bendLine(s));
  return {s, y, faceHeight(s) - beyond * std::tan(p_.edgeBend)};
}

Vec3 FlukeSurface::lower(double s, double y) const {
  const double bend = bendLine(s), side = y < 0.0 ? -1.0 : 1.0;
  const double tolerance = 1e-9 * p_.flukeWidth;
  Vec3 mitre;
  if (std::abs(std::abs(y) - bend) < tolerance) {
    const Vec3 flat = panelNormal(s, 0.0), sloped = panelNormal(s, side);
    mitre = (flat + sloped) / (1.0 + flat.dot(sloped));
  } else {
    mitre = panelNormal(s, std::abs(y) < bend ? 0.0 : side);
  }
  return upper(s, y) - thickness(s, y) * mitre;
}

}  // namespace holdground
