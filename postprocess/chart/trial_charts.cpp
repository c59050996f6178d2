#include "postprocess/chart/trial_charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "postprocess/chart/palette.hpp"
#include "postprocess/chart/plot_panel.hpp"

namespace holdground {
namespace {

constexpr double kWidth = 960.0;
constexpr double kHeight = 540.0;
constexpr double kMargin = 30.0;
constexpr double kPanelHeight = 350.0;
constexpr double kPanelTop = 110.0;
constexpr double kPanelLeft = 92.0;
constexpr double kPanelRight = 760.0;
constexpr double kSheetStep = 500.0;
constexpr double kTypeSize = 14.0;
// Doubts under the charts.
constexpr double kDoubtType = 13.0;
constexpr double kDoubtStep = 19.0;
constexpr std::size_t kDoubtLetters = 118;  // on a line

// The load is drawn as recorded and as a running mean over this length of drift, about the size
// of the stick and slip between grains and steel.
constexpr double kSmoothingDrift = 0.05;  // [m]

std::vector<double> readings(const std::vector<double>& si, const ReadingUnit& unit) {
  std::vector<double> read(si.size());
  std::transform(si.begin(), si.end(), read.begin(), [&](double v) { return unit.read(v); });
  return read;
}

// Mean of the samples whose drift lies within half the smoothing length on either side.
std::vector<double> smoothed(const std::vector<double>& drift, const std::vector<double>& values) {
  std::vector<double> result(values.size());
  for (std::size_t k = 0; k < values.size(); ++k) {
    double sum = 0.0;
    int count = 0;
    const auto take = [&](std::size_t j) {
      if (!(std::abs(drift[j] - drift[k]) <= 0.5 * kSmoothingDrift)) return false;
      sum += values[j];
      ++count;
      return true;
    };
    for (std::size_t j = k; j < values.size() && take(j);) ++j;
    for (std::size_t j = k; j > 0 && take(j - 1);) --j;
    result[k] = count > 0 ? sum / count : values[k];
  }
  return result;
}

// Lines of at most so many letters, broken at spaces; the first begins with "! ".
std::vector<std::string> linesOf(const std::vector<std::string>& doubts) {
  std::vector<std::string> lines;
  for (const std::string& doubt : doubts) {
    std::string line = "!";
    std::istringstream words(doubt);
    for (std::string word; words >> word;) {
      if (line.size() + 1 + word.size() > kDoubtLetters) {
        lines.push_back(line);
        line.assign(1, ' ');
      }
      line.append(1, ' ').append(word);
    }
    lines.push_back(line);
  }
  return lines;
}

// A page with the doubts at its foot, which make it longer.
Drawing sheet(double height, const std::vector<std::string>& doubts) {
  const std::vector<std::string> lines = linesOf(doubts);
  const double whole =
      height + (lines.empty() ? 0.0 : kDoubtStep * (static_cast<double>(lines.size()) + 0.5));
  Drawing drawing{kWidth, whole, {}};
  drawing.rectangle(0.0, 0.0, kWidth, whole, palette::kPaper);
  double y = height;
  for (const std::string& line : lines) {
    drawing.add(Label{{kMargin, y}, line, palette::kSecond, kDoubtType});
    y += kDoubtStep;
  }
  return drawing;
}

PanelPlace placeAt(double top) { return {kPanelLeft, top, kPanelRight, top + kPanelHeight}; }

/// From 0, unless the shackle recoiled by more than a fiftieth of its way.
Range driftRange(const TrialCurves& curves, const ReadingUnits& units) {
  Range range = joined({0.0, 0.0}, rangeOf(readings(curves.drift, units.length)));
  if (-range.low < 0.02 * range.high) range.low = 0.0;
  return range;
}

std::string driftTitle(const ReadingUnits& units) {
  return std::string("drift of the shackle along the pull [") + units.length.symbol + "]";
}

void noteHolding(PlotPanel& panel, const HoldingMark& holding, const ReadingUnits& units) {
  const double from = units.length.read(holding.fromDrift);
  const double to = units.length.read(holding.toDrift);
  const auto level = [&](const std::optional<double>& load, const char* name) {
    if (!load) return;
    panel.note({units.load.read(*load), std::string(name) + " " + units.load.say(*load),
                palette::kSecond, from, to});
  };
  level(holding.mean, "mean");
  level(holding.p90, "90th pct.");
  level(holding.held, "held");
  if (holding.peak) {
    panel.note({units.load.read(*holding.peak), "peak " + units.load.say(*holding.peak),
                palette::kInk, 0.0, 0.0});
  }
}

void drawLoad(Drawing& drawing, double top, const TrialCurves& curves,
              const std::optional<HoldingMark>& holding, const std::string& subtitle,
              const ReadingUnits& units) {
  const std::vector<double> drift = readings(curves.drift, units.length);
  const std::vector<double> load = readings(curves.load, units.load);
  PlotPanel panel(drawing, placeAt(top), driftRange(curves, units),
                  joined({0.0, 0.0}, rangeOf(load)), VerticalSense::Upward);
  if (holding && !holding->name.empty()) {
    panel.band(units.length.read(holding->fromDrift), units.length.read(holding->toDrift),
               palette::kWindow, holding->name);
  }
  panel.grid();
  panel.titles("Horizontal load at the shackle", subtitle);
  panel.alongTitle(std::string("load [") + units.load.symbol + "]");
  drawing.add(Label{
      {kPanelRight, top - 30.0},
      "thin: as recorded; thick: mean over " + units.length.say(kSmoothingDrift) + " of drift",
      palette::kQuiet,
      kTypeSize - 2.0,
      Anchoring::End});
  panel.curve(drift, {"", load, palette::kRecorded, 1.1});
  panel.curve(drift, {"", smoothed(curves.drift, load), palette::kFirst, 2.0});
  if (holding) noteHolding(panel, *holding, units);
  const auto peak = std::max_element(load.begin(), load.end());
  if (holding && holding->peak && peak != load.end()) {
    panel.mark(drift[static_cast<std::size_t>(peak - load.begin())], *peak, palette::kInk);
  }
  panel.acrossTitle(driftTitle(units));
  panel.marginNotes();
}

void drawEmbedment(Drawing& drawing, double top, const TrialCurves& curves,
                   const std::string& subtitle, const ReadingUnits& units) {
  const std::vector<double> drift = readings(curves.drift, units.length);
  const Curve depths[] = {
      {"toe", readings(curves.toeDepth, units.length), palette::kFirst, 2.4},
      {"heel", readings(curves.heelDepth, units.length), palette::kSecond, 2.4},
      {"shackle", readings(curves.shackleDepth, units.length), palette::kThird, 2.4}};
  Range range{0.0, 0.0};
  for (const Curve& depth : depths) range = joined(range, rangeOf(depth.readings));
  PlotPanel panel(drawing, placeAt(top), driftRange(curves, units), range, VerticalSense::Downward);
  panel.layer(panel.along().range().low, 0.0, palette::kWater);
  panel.layer(0.0, panel.along().range().high, palette::kSeabed);
  panel.grid();
  panel.titles("Embedment below the undisturbed surface", subtitle);
  panel.alongTitle(std::string("depth [") + units.length.symbol + "], downward");
  for (const Curve& depth : depths) {
    Curve named = depth;
    const std::vector<double>& column = depth.readings;
    if (!column.empty()) {
      named.name =
          fmt::format("{} {}", depth.name, units.length.say(column.back() / units.length.perSi));
    }
    panel.curve(drift, named);
  }
  panel.acrossTitle(driftTitle(units));
  panel.marginNotes();
}

void drawAttitude(Drawing& drawing, double top, const TrialCurves& curves,
                  const std::string& subtitle, const ReadingUnits& units) {
  const std::vector<double> drift = readings(curves.drift, units.length);
  const Curve angles[] = {
      {"pitch, toe down +", readings(curves.pitch, units.angle), palette::kFirst, 2.4},
      {"list, to starboard +", readings(curves.list, units.angle), palette::kSecond, 2.4},
      {"heading, to port +", readings(curves.heading, units.angle), palette::kThird, 2.4}};
  Range range{0.0, 0.0};
  for (const Curve& angle : angles) range = joined(range, rangeOf(angle.readings));
  PlotPanel panel(drawing, placeAt(top), driftRange(curves, units), range, VerticalSense::Upward);
  panel.grid();
  panel.titles("Attitude", subtitle);
  panel.alongTitle("angle [°]");
  for (const Curve& angle : angles) panel.curve(drift, angle);
  panel.acrossTitle(driftTitle(units));
  panel.marginNotes();
}

}  // namespace

Drawing drawLoadChart(const TrialCurves& curves, const std::optional<HoldingMark>& holding,
                      const ChartText& text, const ReadingUnits& units) {
  Drawing drawing = sheet(kHeight, text.doubts);
  drawLoad(drawing, kPanelTop, curves, holding, text.subtitle, units);
  return drawing;
}

Drawing drawEmbedmentChart(const TrialCurves& curves, const ChartText& text,
                           const ReadingUnits& units) {
  Drawing drawing = sheet(kHeight, text.doubts);
  drawEmbedment(drawing, kPanelTop, curves, text.subtitle, units);
  return drawing;
}

Drawing drawAttitudeChart(const TrialCurves& curves, const ChartText& text,
                          const ReadingUnits& units) {
  Drawing drawing = sheet(kHeight, text.doubts);
  drawAttitude(drawing, kPanelTop, curves, text.subtitle, units);
  return drawing;
}

Drawing drawTrialSheet(const TrialCurves& curves, const std::optional<HoldingMark>& holding,
                       const ChartText& text, const ReadingUnits& units) {
  Drawing drawing = sheet(kHeight + 2.0 * kSheetStep, text.doubts);
  drawLoad(drawing, kPanelTop, curves, holding, text.subtitle, units);
  drawEmbedment(drawing, kPanelTop + kSheetStep, curves, "", units);
  drawAttitude(drawing, kPanelTop + 2.0 * kSheetStep, curves, "", units);
  return drawing;
}

}  // namespace holdground
