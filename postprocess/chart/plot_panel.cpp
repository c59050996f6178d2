#include "postprocess/chart/plot_panel.hpp"

#include <algorithm>
#include <cmath>

#include "postprocess/chart/palette.hpp"

namespace holdground {
namespace {

constexpr double kTypeSize = 14.0;
constexpr double kTitleSize = 20.0;
constexpr double kBandTypeSize = 12.0;
constexpr double kMarginStep = 18.0;  // least distance between two names in the margin [px]
constexpr double kPixelsPerStepAcross = 110.0;
constexpr double kPixelsPerStepAlong = 55.0;
// Where a baseline must lie for type to look centred on a height.
constexpr double kHalfType = 0.36 * kTypeSize;

int stepsIn(double pixels, double pixelsPerStep) {
  return std::max(2, static_cast<int>(pixels / pixelsPerStep));
}

}  // namespace

PlotPanel::PlotPanel(Drawing& drawing, const PanelPlace& place, const Range& across,
                     const Range& along, VerticalSense sense)
    : drawing_(drawing),
      place_(place),
      across_(across, stepsIn(place.right - place.left, kPixelsPerStepAcross), place.left,
              place.right),
      along_(along, stepsIn(place.bottom - place.top, kPixelsPerStepAlong),
             sense == VerticalSense::Upward ? place.bottom : place.top,
             sense == VerticalSense::Upward ? place.top : place.bottom) {}

double PlotPanel::clampedAlong(double reading) const {
  return along_.pixel(std::clamp(reading, along_.range().low, along_.range().high));
}

void PlotPanel::band(double from, double to, Colour fill, const std::string& name) {
  const Range& range = across_.range();
  const double left = across_.pixel(std::clamp(from, range.low, range.high));
  const double right = across_.pixel(std::clamp(to, range.low, range.high));
  drawing_.rectangle(left, place_.top, right, place_.bottom, fill);
  drawing_.add(Label{{0.5 * (left + right), place_.top - 6.0},
                     name,
                     palette::kQuiet,
                     kBandTypeSize,
                     Anchoring::Middle});
}

void PlotPanel::layer(double from, double to, Colour fill) {
  drawing_.rectangle(place_.left, clampedAlong(from), place_.right, clampedAlong(to), fill);
}

void PlotPanel::grid() {
  for (const double tick : along_.ticks()) {
    const double y = along_.pixel(tick);
    const bool nought = std::abs(tick) < 1e-9 * along_.range().span();
    drawing_.line({place_.left, y}, {place_.right, y}, nought ? palette::kQuiet : palette::kGrid,
                  nought ? 1.4 : 1.0);
    drawing_.add(Label{{place_.left - 10.0, y + kHalfType},
                       along_.text(tick),
                       palette::kInk,
                       kTypeSize,
                       Anchoring::End});
  }
  for (const double tick : across_.ticks()) {
    const double x = across_.pixel(tick);
    drawing_.line({x, place_.bottom}, {x, place_.bottom + 6.0}, palette::kQuiet, 1.0);
    drawing_.add(Label{{x, place_.bottom + 22.0},
                       across_.text(tick),
                       palette::kInk,
                       kTypeSize,
                       Anchoring::Middle});
  }
  drawing_.line({place_.left, place_.bottom}, {place_.right, place_.bottom}, palette::kQuiet, 1.0);
}

void PlotPanel::titles(const std::string& title, const std::string& subtitle) {
  const double left = place_.left;
  const double above = subtitle.empty() ? 24.0 : 52.0;
  drawing_.add(Label{{left, place_.top - above},
                     title,
                     palette::kInk,
                     kTitleSize,
                     Anchoring::Start,
                     Weight::Bold});
  drawing_.add(Label{{left, place_.top - 30.0}, subtitle, palette::kQuiet, kTypeSize});
}

void PlotPanel::acrossTitle(const std::string& text) {
  drawing_.add(Label{{0.5 * (place_.left + place_.right), place_.bottom + 46.0},
                     text,
                     palette::kInk,
                     kTypeSize,
                     Anchoring::Middle});
}

void PlotPanel::alongTitle(const std::string& text) {
  drawing_.add(Label{{place_.left - 62.0, 0.5 * (place_.top + place_.bottom)},
                     text,
                     palette::kInk,
                     kTypeSize,
                     Anchoring::Middle,
                     Weight::Regular,
                     Turn::QuarterLeft});
}

void PlotPanel::curve(const std::vector<double>& abscissae, const Curve& curve) {
  // A reading that is not a number breaks the line; the pieces are drawn one by one.
  Polyline piece{{}, curve.colour, curve.width};
  const auto finishPiece = [&] {
    if (piece.points.size() > 1) drawing_.add(piece);
    if (piece.points.size() == 1) drawing_.dot(piece.points[0], 1.5 * curve.width, curve.colour);
    piece.points.clear();
  };
  double lastY = std::nan("");
  const std::size_t count = std::min(abscissae.size(), curve.readings.size());
  for (std::size_t k = 0; k < count; ++k) {
    if (!std::isfinite(abscissae[k]) || !std::isfinite(curve.readings[k])) {
      finishPiece();
      continue;
    }
    lastY = along_.pixel(curve.readings[k]);
    piece.points.push_back({across_.pixel(abscissae[k]), lastY});
  }
  finishPiece();
  if (!curve.name.empty() && std::isfinite(lastY)) {
    marginNotes_.push_back({lastY, curve.name, curve.colour});
  }
}

void PlotPanel::note(const LevelNote& note) {
  const double y = clampedAlong(note.reading);
  if (note.from != note.to) {
    drawing_.line({across_.pixel(note.from), y}, {across_.pixel(note.to), y}, note.colour, 1.5,
                  5.0);
  }
  marginNotes_.push_back({y, note.text, note.colour});
}

void PlotPanel::mark(double abscissa, double reading, Colour colour) {
  drawing_.dot({across_.pixel(abscissa), along_.pixel(reading)}, 5.0, palette::kPaper);
  drawing_.dot({across_.pixel(abscissa), along_.pixel(reading)}, 3.5, colour);
}

void PlotPanel::marginNotes() {
  std::stable_sort(marginNotes_.begin(), marginNotes_.end(),
                   [](const MarginNote& a, const MarginNote& b) { return a.y < b.y; });
  double free = place_.top;
  for (MarginNote& note : marginNotes_) {
    note.y = std::max(note.y, free);
    free = note.y + kMarginStep;
  }
  // Whatever was pushed below the axes goes back up, in order.
  double ceiling = place_.bottom;
  for (auto note = marginNotes_.rbegin(); note != marginNotes_.rend(); ++note) {
    note->y = std::min(note->y, ceiling);
    ceiling = note->y - kMarginStep;
    drawing_.add(
        Label{{place_.right + 12.0, note->y + kHalfType}, note->text, note->colour, kTypeSize});
  }
  marginNotes_.clear();
}

}  // namespace holdground
