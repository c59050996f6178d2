#include "postprocess/picture/picture_caption.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/chart/axis.hpp"
#include "postprocess/chart/palette.hpp"

namespace holdground {
namespace {

// Where the bed may lie, in parts of the picture.
constexpr double kBedLeft = 0.10;
constexpr double kBedRight = 0.90;
constexpr double kBedBottom = 0.795;
constexpr double kBedHeight = 0.575;
constexpr double kElevation = 0.33;  // of the camera [rad]

// Baselines of the figures, in parts of the picture's height.
constexpr double kFigureName = 0.915;
constexpr double kFigure = 0.955;

class Caption {
 public:
  Caption(const PictureFrame& frame, const SideView& view, const ReadingUnits& units)
      : frame_(frame), view_(view), units_(units), scale_(frame.typeScale()) {
    drawing.width = frame.width;
    drawing.height = frame.height;
  }

  Drawing drawing;

  void titles(const PictureText& text) {
    const double left = 0.04 * frame_.width, top = 0.072 * frame_.height;
    words({left, top}, text.title, palette::kInk, 28.0, Anchoring::Start, Weight::Bold);
    words({left, top + 28.0 * scale_}, text.subtitle, palette::kQuiet, 17.0);
    words({left, top + 51.0 * scale_}, text.grains, palette::kQuiet, 15.0);
    words({left, top + 74.0 * scale_}, text.caution, palette::kSecond, 15.0);
  }

  // Down the near edge of the cut, from the undisturbed surface to the floor.
  void depthScale() {
    const double floor = units_.length.read(-frame_.floorZ);
    const double step = roundStep(floor, 5);
    const Axis words_(Range{0.0, floor}, 5, 0.0, 1.0);
    const auto at = [&](double reading) {
      PagePoint p = view_.project(
          Vec3(frame_.window.fromX, frame_.window.cutY, -reading / units_.length.perSi));
      p[0] -= 14.0 * scale_;
      return p;
    };
    drawing.line(at(0.0), at(floor), palette::kInk, 1.5 * scale_);
    for (int k = 0; k * step <= floor * (1.0 + 1e-9); ++k) {
      const PagePoint p = at(k * step);
      drawing.line({p[0] - 7.0 * scale_, p[1]}, p, palette::kInk, 1.5 * scale_);
      words({p[0] - 12.0 * scale_, p[1] + 5.0 * scale_},
            k == 0 ? std::string("surface") : words_.text(k * step), palette::kInk, 15.0,
            Anchoring::End);
    }
    const PagePoint top = at(0.0);
    words({top[0] - 12.0 * scale_, top[1] - 18.0 * scale_},
          fmt::format("depth [{}]", units_.length.symbol), palette::kQuiet, 14.0, Anchoring::End);
  }

  // Along the foot of the cut.
  void lengthScale() {
    const double length = frame_.window.toX - frame_.window.fromX;
    const double bar = roundStep(units_.length.read(length), 6);
    const Vec3 foot(frame_.window.fromX, frame_.window.cutY, frame_.floorZ);
    PagePoint from = view_.project(foot);
    PagePoint to = view_.project(foot + Vec3(bar / units_.length.perSi, 0.0, 0.0));
    from[1] += 24.0 * scale_;
    to[1] += 24.0 * scale_;
    drawing.line(from, to, palette::kInk, 3.0 * scale_);
    for (const PagePoint& end : {from, to}) {
      drawing.line({end[0], end[1] - 6.0 * scale_}, {end[0], end[1] + 6.0 * scale_}, palette::kInk,
                   1.5 * scale_);
    }
    words({to[0] + 10.0 * scale_, to[1] + 5.0 * scale_},
          fmt::format("{:g} {}", bar, units_.length.symbol), palette::kInk, 15.0);
  }

  void pullArrow(const std::vector<Vec3>& rode) {
    if (rode.size() < 2) return;
    const PagePoint end = view_.project(rode.back());
    const PagePoint before = view_.project(rode[rode.size() - 2]);
    const double length = std::hypot(end[0] - before[0], end[1] - before[1]);
    if (!(length > 0.0)) return;
    const PagePoint along{(end[0] - before[0]) / length, (end[1] - before[1]) / length};
    const auto from = [&](double forward, double aside) {
      return PagePoint{end[0] + scale_ * (forward * along[0] - aside * along[1]),
                       end[1] + scale_ * (forward * along[1] + aside * along[0])};
    };
    drawing.add(Polygon{{from(0.0, -9.0), from(22.0, 0.0), from(0.0, 9.0)}, palette::kRode});
    PagePoint name = from(30.0, 0.0);
    name[1] += 5.0 * scale_;
    words(name, "pull", palette::kInk, 16.0);
  }

  void speedLegend() {
    const double right = std::max(kBedRight, 0.86) * frame_.width;
    const double width = 0.2 * frame_.width;
    const double left = right - width;
    const double top = (kFigure - 0.016) * frame_.height - 8.0 * scale_;
    const double height = 14.0 * scale_;
    constexpr int kSteps = 64;
    for (int k = 0; k < kSteps; ++k) {
      const double x = left + width * k / kSteps;
      drawing.rectangle(x, top, left + width * (k + 1) / kSteps + 0.5, top + height,
                        palette::speedColour((k + 0.5) / kSteps));
    }
    const double topReading = units_.speed.read(frame_.topSpeed);
    const Axis axis(Range{0.0, topReading}, 5, left, right);
    for (const double tick : axis.ticks()) {
      if (tick > topReading * (1.0 + 1e-6)) continue;
      const double x = left + width * tick / topReading;
      drawing.line({x, top + height}, {x, top + height + 5.0 * scale_}, palette::kInk, scale_);
      words({x, top + height + 20.0 * scale_}, axis.text(tick), palette::kInk, 14.0,
            Anchoring::Middle);
    }
    words({left, kFigureName * frame_.height - 5.0 * scale_},
          fmt::format("speed of the grains [{}]", units_.speed.symbol), palette::kQuiet, 14.0);
  }

  void figures(const MomentFacts& facts) {
    const std::pair<const char*, std::string> shown[] = {
        {"time", units_.time.say(facts.time)},
        {"drift", units_.length.say(facts.drift)},
        {"load", units_.load.say(facts.load)},
        {"toe depth", units_.length.say(facts.toeDepth)},
        {"heel depth", units_.length.say(facts.heelDepth)},
        {"pitch", units_.angle.say(facts.pitch)},
        {"list", units_.angle.say(facts.list)}};
    double x = 0.04 * frame_.width;
    for (const auto& [name, value] : shown) {
      words({x, kFigureName * frame_.height - 5.0 * scale_}, name, palette::kQuiet, 14.0);
      words({x, kFigure * frame_.height}, value, palette::kInk, 22.0, Anchoring::Start,
            Weight::Bold);
      x += 0.094 * frame_.width;
    }
  }

 private:
  void words(PagePoint at, const std::string& text, Colour colour, double size,
             Anchoring anchoring = Anchoring::Start, Weight weight = Weight::Regular) {
    if (text.empty()) return;
    drawing.add(Label{at, text, colour, size * scale_, anchoring, weight});
  }

  const PictureFrame& frame_;
  const SideView& view_;
  const ReadingUnits& units_;
  double scale_;
};

}  // namespace

double PictureFrame::typeScale() const { return std::max(width / 1600.0, 0.7); }

SideView viewOf(const PictureFrame& frame) {
  SideView view;
  view.elevation = kElevation;
  const double length = frame.window.toX - frame.window.fromX;
  const double rise = -frame.floorZ * std::cos(kElevation) +
                      (frame.window.toY - frame.window.cutY) * std::sin(kElevation);
  view.metresPerPixel =
      std::max(length / ((kBedRight - kBedLeft) * frame.width), rise / (kBedHeight * frame.height));
  view.target =
      Vec3(0.5 * (frame.window.fromX + frame.window.toX), frame.window.cutY, frame.floorZ);
  view.targetPixel = {0.5 * (kBedLeft + kBedRight) * frame.width, kBedBottom * frame.height};
  return view;
}

Drawing drawCaption(const PictureFrame& frame, const SideView& view, const std::vector<Vec3>& rode,
                    const MomentFacts& facts, const PictureText& text, const ReadingUnits& units) {
  Caption caption(frame, view, units);
  caption.titles(text);
  caption.depthScale();
  caption.lengthScale();
  caption.pullArrow(rode);
  caption.speedLegend();
  caption.figures(facts);
  return caption.drawing;
}

void addLoadTrace(Drawing& drawing, const PictureFrame& frame, const TrialCurves& curves,
                  double untilTime, const ReadingUnits& units) {
  const double scale = frame.typeScale();
  const double left = 0.70 * frame.width, right = 0.95 * frame.width;
  const double top = 0.075 * frame.height, bottom = 0.185 * frame.height;
  const Axis across(joined({0.0, 0.0}, rangeOf(curves.drift)), 3, left, right);
  const Range loads = joined({0.0, 0.0}, rangeOf(curves.load));
  const Axis along(loads, 2, bottom, top);
  Polyline whole{{}, palette::kFirst.withOpacity(0.25), scale};
  Polyline sofar{{}, palette::kFirst, 1.8 * scale};
  const std::size_t count = std::min(curves.drift.size(), curves.load.size());
  for (std::size_t k = 0; k < count; ++k) {
    if (!std::isfinite(curves.drift[k]) || !std::isfinite(curves.load[k])) continue;
    const PagePoint point{across.pixel(curves.drift[k]), along.pixel(curves.load[k])};
    whole.points.push_back(point);
    if (curves.time[k] <= untilTime) sofar.points.push_back(point);
  }
  drawing.line({left, bottom}, {right, bottom}, palette::kQuiet, scale);
  const auto words = [&](PagePoint at, const std::string& text, Anchoring anchoring) {
    drawing.add(Label{at, text, palette::kQuiet, 13.0 * scale, anchoring});
  };
  words({left, top - 10.0 * scale}, "load against drift", Anchoring::Start);
  words({right, top - 10.0 * scale}, fmt::format("highest {}", units.load.say(loads.high)),
        Anchoring::End);
  words({left, bottom + 17.0 * scale}, "0", Anchoring::Middle);
  words({right, bottom + 17.0 * scale}, units.length.say(across.range().high), Anchoring::End);
  if (whole.points.size() > 1) drawing.add(whole);
  if (sofar.points.size() > 1) drawing.add(sofar);
  if (!sofar.points.empty()) drawing.dot(sofar.points.back(), 4.5 * scale, palette::kSecond);
}

}  // namespace holdground
