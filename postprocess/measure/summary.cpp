#include "postprocess/measure/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

constexpr int kSummaryVersion = 1;

nlohmann::ordered_json toJson(const MeasureValue& value) {
  return std::visit(
      [](const auto& content) -> nlohmann::ordered_json {
        if constexpr (std::is_same_v<std::decay_t<decltype(content)>, std::monostate>)
          return nullptr;
        else
          return content;
      },
      value);
}

std::string toText(const MeasureLine& line, const DisplayUnits& units) {
  if (const auto* number = std::get_if<double>(&line.value))
    return line.dimension == Dimension::kNumber ? formatNumber(*number, 3)
                                                : units.format(*number, line.dimension, 3);
  if (const auto* count = std::get_if<std::uint64_t>(&line.value)) return std::to_string(*count);
  if (const auto* flag = std::get_if<bool>(&line.value)) return *flag ? "yes" : "no";
  if (const auto* text = std::get_if<std::string>(&line.value)) return *text;
  return "-";
}

// Limits beyond which figures are doubtful.
constexpr double kOnItsSide = kPi / 3.0;        // list at the end [rad]
constexpr double kHardlyBuried = 0.1;           // share of the fluke's surface
constexpr double kUnaccounted = 0.01;           // residual over work in: the bar of the fast kernel
constexpr double kNotAtRest = 0.05;             // [m/s], a fall over 0.13 mm
constexpr double kLeastWidths = 4.0;            // of the bed across, over the fluke's width
constexpr double kStillRising = 1.2;            // mean of the later half over that of the earlier
constexpr double kReached = 0.9;                // pull of the line over the load asked for
constexpr double kUsualHold = 30.0;             // [s]
constexpr double kUsualDrift = 0.1;             // anchor lengths
constexpr double kOnItsBack = 2.0 * kPi / 3.0;  // list at the end [rad]
constexpr double kHasty = 0.1;  // inertial number; dense flow is inertial from here on

}  // namespace

std::vector<std::string> doubts(const Measures& m, const DisplayUnits& units) {
  using enum Dimension;
  std::vector<std::string> list;
  if (!m.closing)
    list.push_back("The run did not end in an orderly way; these are its last samples.");
  if (m.closing && m.closing->endReason == kEndedByLoss)
    list.push_back(
        "Grains or anchor flew apart and the pull ended early: it was too violent for the model.");
  if (m.atSpeed && m.atSpeed->averagedDrift < 0.95 * kAveragedDrift)
    list.push_back(fmt::format("The holding is averaged over {} of drift instead of {}.",
                               units.format(m.atSpeed->averagedDrift, kLength, 3),
                               units.format(kAveragedDrift, kLength, 3)));
  if (m.atSpeed && m.atSpeed->laterMean > kStillRising * std::max(0.0, m.atSpeed->earlierMean))
    list.push_back(
        fmt::format("The load was still rising, from {} over the first half of the averaged ground "
                    "to {} over the second: a longer drag may hold more.",
                    units.format(m.atSpeed->earlierMean, kForce, 3),
                    units.format(m.atSpeed->laterMean, kForce, 3)));
  if (m.run.loadMode == LoadMode::kPrescribedLoad && !m.held)
    list.push_back(
        fmt::format("No load was held for {}.", units.format(m.run.holdDuration, kTime)));
  if (m.run.loadMode == LoadMode::kPrescribedLoad && m.last.load.norm() < kReached * m.last.demand)
    list.push_back(fmt::format(
        "The load asked for at the end, {}, was not reached: the line pulled with {}, as the winch "
        "hauls no faster.",
        units.format(m.last.demand, kForce, 3), units.format(m.last.load.norm(), kForce, 3)));
  if (m.run.loadMode == LoadMode::kPrescribedLoad &&
      (m.run.holdDuration != kUsualHold || m.run.holdDriftInLengths != kUsualDrift))
    list.push_back(
        fmt::format("Held here means for {} with less than {:g} anchor lengths of drift, not the "
                    "usual {:g} s and "
                    "{:g}: compare only with the same.",
                    units.format(m.run.holdDuration, kTime), m.run.holdDriftInLengths, kUsualHold,
                    kUsualDrift));
  if (m.startSpeed > kNotAtRest)
    list.push_back(
        fmt::format("The anchor was still moving at {} when the pull began: settle it longer.",
                    units.format(m.startSpeed, kSpeed, 2)));
  if ((m.flags & kNearSide) != 0)
    list.push_back(
        "The bed repeats, and the anchor's ground met ground already ploughed or that of its own "
        "image: a longer or wider bed may read differently.");
  if (m.widthsAcross() < kLeastWidths)
    list.push_back(fmt::format(
        "The bed is {:.1f} fluke widths across, less than {:g}: the anchor may feel its own image.",
        m.widthsAcross(), kLeastWidths));
  if ((m.flags & kNearBottom) != 0)
    list.push_back("The anchor came near the bottom of the bed: holding may be too high.");
  if (std::abs(m.last.list) > kOnItsSide)
    list.push_back(std::abs(m.last.list) > kOnItsBack ? "The anchor ended on its back."
                                                      : "The anchor ended on its side.");
  if (m.last.buriedShare < kHardlyBuried)
    list.push_back("The fluke is not buried: the anchor skids, and its load is not a holding.");
  if (m.last.steelPassages > 0)
    list.push_back(fmt::format(
        "{} grains passed through the steel's surface: its resistance is too low there.",
        m.last.steelPassages));
  if (std::abs(m.energy.residual) > kUnaccounted * std::abs(m.energy.workIn))
    list.push_back("The balance of energy does not close: do not use this run.");
  if (m.inertialMean > kHasty)
    list.push_back("The bed was sheared fast for its weight: a slower pull may read differently.");
  return list;
}

std::string summaryJson(const Measures& measures) {
  nlohmann::ordered_json json;
  json["format"] = "holdground-summary";
  json["version"] = kSummaryVersion;
  auto& values = json["measures"];
  for (const auto& line : tabulate(measures)) {
    auto& entry = values[line.key];
    entry["value"] = toJson(line.value);
    entry["unit"] = siSymbol(line.dimension);
    entry["meaning"] = line.meaning;
  }
  json["doubts"] = doubts(measures, DisplayUnits());
  json["cautions"] = measures.run.cautions;
  return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string resultsTable(const Measures& measures, const DisplayUnits& units) {
  std::string text;
  for (const auto& line : tabulate(measures))
    if (line.label != nullptr) text += fmt::format("{:<36}{}\n", line.label, toText(line, units));
  for (const auto& doubt : doubts(measures, units)) text += "! " + doubt + "\n";
  for (const auto& caution : measures.run.cautions) text += "! " + caution + "\n";
  return text;
}

}  // namespace holdground
