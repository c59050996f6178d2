#pragma once
// The charts of one trial: load, embedment and attitude against drift, alone and together.
// Checked by: tests/unit/chart/trial_charts_test.cpp

#include <optional>
#include <string>
#include <vector>

#include "postprocess/chart/drawing.hpp"
#include "postprocess/chart/reading_units.hpp"

namespace holdground {

/// What a trial recorded over time, SI; all columns of one length. Signs of the angles as in
/// solver/anchor/attitude.hpp; embedment is positive below the undisturbed surface.
struct TrialCurves {
  std::vector<double> time;          ///< [s]
  std::vector<double> drift;         ///< of the shackle along the pull [m]
  std::vector<double> load;          ///< horizontal, at the shackle [N]
  std::vector<double> toeDepth;      ///< [m]
  std::vector<double> heelDepth;     ///< [m]
  std::vector<double> shackleDepth;  ///< [m]
  std::vector<double> pitch;         ///< [rad]
  std::vector<double> list;          ///< [rad]
  std::vector<double> heading;       ///< against the pull [rad]
};

/// The stretch a holding figure was taken over, and the figures.
struct HoldingMark {
  double fromDrift = 0.0;      ///< [m]
  double toDrift = 0.0;        ///< [m]
  std::string name;            ///< of the stretch, on the chart; empty: not marked
  std::optional<double> mean;  ///< [N]
  std::optional<double> p90;   ///< 90th percentile [N]
  std::optional<double> peak;  ///< greatest load of the whole trial [N]
  std::optional<double> held;  ///< greatest load kept [N]
};

struct ChartText {
  std::string subtitle;             ///< anchor, bed and way of pulling
  std::vector<std::string> doubts;  ///< about the figures, printed under the charts
};

Drawing drawLoadChart(const TrialCurves& curves, const std::optional<HoldingMark>& holding,
                      const ChartText& text, const ReadingUnits& units);
Drawing drawEmbedmentChart(const TrialCurves& curves, const ChartText& text,
                           const ReadingUnits& units);
Drawing drawAttitudeChart(const TrialCurves& curves, const ChartText& text,
                          const ReadingUnits& units);
/// All three under each other.
Drawing drawTrialSheet(const TrialCurves& curves, const std::optional<HoldingMark>& holding,
                       const ChartText& text, const ReadingUnits& units);

}  // namespace holdground
