#include "postprocess/chart/drawing.hpp"

#include <algorithm>
#include <cmath>

namespace holdground {

void Drawing::line(PagePoint from, PagePoint to, Colour colour, double strokeWidth, double dash) {
  add(Polyline{{from, to}, colour, strokeWidth, dash});
}

void Drawing::rectangle(double left, double top, double right, double bottom, Colour fill) {
  add(Polygon{{{left, top}, {right, top}, {right, bottom}, {left, bottom}}, fill});
}

void Drawing::dot(PagePoint centre, double radius, Colour fill) {
  constexpr int kCorners = 24;
  constexpr double kTurn = 6.283185307179586;
  Polygon circle{{}, fill};
  for (int k = 0; k < kCorners; ++k) {
    const double angle = kTurn * k / kCorners;
    circle.points.push_back(
        {centre[0] + radius * std::cos(angle), centre[1] + radius * std::sin(angle)});
  }
  add(std::move(circle));
}

std::vector<Polyline> dashes(const Polyline& line) {
  if (!(line.dash > 0.0)) return {line};
  std::vector<Polyline> pieces;
  double walked = 0.0;  // since the first dash began
  for (std::size_t k = 1; k < line.points.size(); ++k) {
    const PagePoint& from = line.points[k - 1];
    const PagePoint& to = line.points[k];
    const double length = std::hypot(to[0] - from[0], to[1] - from[1]);
    const auto at = [&](double way) {
      const double part = way / length;
      return PagePoint{from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])};
    };
    for (double way = 0.0; way < length;) {
      const double phase = std::fmod(walked, 2.0 * line.dash);
      const bool drawn = phase < line.dash;
      const double rest = (drawn ? line.dash : 2.0 * line.dash) - phase;
      const double end = std::min(way + std::max(rest, 1e-6 * line.dash), length);
      if (drawn) pieces.push_back({{at(way), at(end)}, line.colour, line.width, 0.0});
      walked += end - way;
      way = end;
    }
  }
  return pieces;
}

}  // namespace holdground
