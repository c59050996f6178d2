#include "postprocess/measure/summary.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "solver/core/errors.hpp"
#include "tests/support/record_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

/// Two metres at 0.5 m/s under an even load, with energy that is known by hand.
std::vector<SeriesRow> evenPull() {
  std::vector<SeriesRow> series(5);
  for (std::size_t k = 0; k < series.size(); ++k) {
    const double t = static_cast<double>(k);
    SeriesRow& row = series[k];
    row.time = row.trialTime = t;
    row.drift = 0.5 * t;
    row.horizontalLoad = 2000.0;
    row.toeEmbedment = k == 2 ? 0.5 : 0.25;
    row.pitch = kPi / 6.0;
    row.energyKinetic = 1.0 + t;  // starts with 1 J
    row.energyElasticNormal = 10.0;
    row.energyPotential = -5.0 * t;
    row.energyRode = 1000.0 * t;
    row.energyFriction = 900.0 * t;
    row.energyNormalDamping = 50.0 * t;
    row.energyTangentialDamping = 20.0 * t;
    row.energyRolling = 15.0 * t;
    row.energyPlastic = 1.0 * t;
    row.energyWaterDrag = 8.0 * t;
    row.energyHistoryArtefact = 2.0 * t;
    row.overlapP99 = 0.01 * t;
    row.inertialNumber = 0.01;
  }
  series[1].flags = kNearSide;
  return series;
}

RunDescription speedRun() {
  RunDescription run = samples::description(4);
  run.loadMode = LoadMode::kPrescribedSpeed;
  run.anchor.weight = 200.0;
  return run;
}

nlohmann::json summaryOf(const Measures& measures) {
  return nlohmann::json::parse(summaryJson(measures));
}

TEST(Measures, EnergyBalanceIsTheLedgersEquation) {
  const EnergyBalance energy = balance(evenPull().front(), evenPull().back());
  EXPECT_DOUBLE_EQ(energy.workIn, 4000.0 + 20.0);
  EXPECT_DOUBLE_EQ(energy.stored, 4.0);
  EXPECT_DOUBLE_EQ(energy.plastic, 4.0);
  // 4020 - 4 - 3600 - 280 - 60 - 4 - 32 - 8
  EXPECT_DOUBLE_EQ(energy.residual, 32.0);
}

TEST(Measures, OfAnEvenPullAreWhatTheHandGives) {
  const auto json = summaryOf(measure(speedRun(), evenPull(), samples::closing()))["measures"];
  EXPECT_EQ(json["holding"]["value"], 2000.0);
  EXPECT_EQ(json["holding"]["unit"], "N");
  EXPECT_EQ(json["holding_mean"]["value"], 2000.0);
  EXPECT_TRUE(json["holding_kept"]["value"].is_null());
  EXPECT_EQ(json["efficiency"]["value"], 10.0);
  EXPECT_EQ(json["efficiency"]["unit"], "1");
  EXPECT_EQ(json["toe_embedment"]["value"], 0.25);
  EXPECT_EQ(json["toe_embedment_max"]["value"], 0.5);
  EXPECT_EQ(json["overlap_p99"]["value"], 0.04);
  EXPECT_EQ(json["near_side"]["value"], true);
  EXPECT_EQ(json["near_bottom"]["value"], false);
  EXPECT_NEAR(json["energy_residual_share"]["value"].get<double>(), 32.0 / 4020.0, 1e-15);
  EXPECT_EQ(json["state_hash"]["value"], "123456789abcdef0");
  EXPECT_EQ(json["complete"]["value"], true);
}

TEST(Measures, AtPrescribedLoadGiveTheLoadHeld) {
  RunDescription run = speedRun();
  run.loadMode = LoadMode::kPrescribedLoad;
  run.holdDuration = 2.0;
  run.holdDriftInLengths = 2.0;
  run.anchor.length = 1.0;
  auto series = evenPull();
  series.back().horizontalLoad = 1500.0;
  const auto json = summaryOf(measure(run, series, std::nullopt))["measures"];
  EXPECT_EQ(json["holding"]["value"], 2000.0);
  EXPECT_TRUE(json["holding_mean"]["value"].is_null());
  EXPECT_TRUE(json["state_hash"]["value"].is_null());
  run.holdDuration = 100.0;
  const Measures none = measure(run, series, std::nullopt);
  EXPECT_TRUE(summaryOf(none)["measures"]["efficiency"]["value"].is_null());
  EXPECT_NE(resultsTable(none, DisplayUnits()).find("No load was held for 100 s"),
            std::string::npos);
}

TEST(Measures, AnAnchorStillMovingWhenThePullBeginsIsDoubted) {
  std::vector<SeriesRow> series = evenPull();
  series[0].time = -1.0;  // settling
  series[0].anchorSpeed = 1.0;
  series[1].anchorSpeed = 0.049;
  const auto doubted = [&series] {
    const Measures measures = measure(speedRun(), series, std::nullopt);
    return summaryJson(measures).find("still moving") != std::string::npos;
  };
  EXPECT_FALSE(doubted());
  series[1].anchorSpeed = 0.051;
  EXPECT_TRUE(doubted());
  EXPECT_DOUBLE_EQ(measure(speedRun(), series, std::nullopt).startSpeed, 0.051);
}

TEST(Measures, ALoadThatWasNotReachedIsDoubted) {
  RunDescription run = speedRun();
  run.loadMode = LoadMode::kPrescribedLoad;
  std::vector<SeriesRow> series = evenPull();
  const auto doubted = [&] {
    const auto doubts = summaryOf(measure(run, series, samples::closing()))["doubts"];
    return doubts.dump().find("The load asked for at the end, 2000 N, was not") !=
           std::string::npos;
  };
  series.back().demand = 2000.0;
  series.back().load = Vec3(1500.0, 0.0, 1100.0);  // 1860 N
  EXPECT_FALSE(doubted());
  series.back().load = Vec3(1500.0, 0.0, 900.0);  // 1749 N
  EXPECT_TRUE(doubted());
  run.loadMode = LoadMode::kPrescribedSpeed;
  EXPECT_FALSE(doubted());
}

TEST(Measures, ALoadThatStillRisesIsDoubted) {
  // Of the last metre, drift 1 m to 2 m, the halves part at 1.5 m: samples 2 and 3 | 4.
  std::vector<SeriesRow> series = evenPull();
  const auto doubted = [&series] {
    const auto doubts = summaryOf(measure(speedRun(), series, samples::closing()))["doubts"];
    return doubts.dump().find("still rising, from 2000 N over") != std::string::npos;
  };
  EXPECT_FALSE(doubted());
  series[3].horizontalLoad = series[4].horizontalLoad = 2390.0;
  EXPECT_FALSE(doubted());
  series[3].horizontalLoad = series[4].horizontalLoad = 2410.0;
  EXPECT_TRUE(doubted());
  series[2].horizontalLoad = 2410.0;
  EXPECT_FALSE(doubted());
}

TEST(Measures, ABedLessThanFourFlukesWideIsDoubted) {
  RunDescription run = speedRun();
  run.anchor.flukeWidth = 0.4;
  const auto summary = [&run](double width) {
    run.bed.lengthY = width;
    return summaryOf(measure(run, evenPull(), samples::closing()));
  };
  EXPECT_NEAR(summary(1.5)["measures"]["bed_widths"]["value"].get<double>(), 3.75, 1e-15);
  EXPECT_NE(summary(1.5)["doubts"].dump().find("3.8 fluke widths across, less than 4"),
            std::string::npos);
  EXPECT_EQ(summary(1.61)["doubts"].dump().find("fluke widths across"), std::string::npos);
}

TEST(Measures, ARodeThatIsLevelButForRoundingRisesByNothing) {
  auto series = evenPull();
  const auto rise = [&series](double angle) {
    series.back().rodeElevation = angle;
    const auto json = summaryOf(measure(speedRun(), series, std::nullopt));
    return json["measures"]["rode_elevation"]["value"].get<double>();
  };
  EXPECT_EQ(rise(5e-9), 0.0);
  EXPECT_EQ(rise(-5e-9), 0.0);
  EXPECT_EQ(rise(-2e-5), -2e-5);  // 1.1 thousandths of a degree
}

TEST(Measures, GrainsThatPassedThroughSteelMakeADoubt) {
  auto series = evenPull();
  series.back().steelOverlapMaximum = 0.19;
  series[2].throughSteelPairs = 9;
  for (auto& row : series) row.throughSteelShare = 0.04;
  series.back().rodeElevation = kPi / 36.0;
  const auto sound = summaryOf(measure(speedRun(), series, samples::closing()));
  EXPECT_EQ(sound.dump().find("passed through the steel's"), std::string::npos);
  EXPECT_EQ(sound["measures"]["steel_overlap_max"]["value"], 0.19);
  EXPECT_EQ(sound["measures"]["steel_passages"]["value"], 0u);
  EXPECT_EQ(sound["measures"]["through_steel_pairs"]["value"], 9u);
  EXPECT_NEAR(sound["measures"]["through_steel_share"]["value"].get<double>(), 0.04, 1e-15);
  EXPECT_EQ(sound["measures"]["rode_elevation"]["value"], kPi / 36.0);
  series.back().steelPassages = 3;
  const auto doubtful = summaryOf(measure(speedRun(), series, samples::closing()));
  EXPECT_EQ(doubtful["measures"]["steel_passages"]["value"], 3u);
  EXPECT_NE(doubtful["doubts"].dump().find("3 grains passed through the steel's"),
            std::string::npos);
}

TEST(Measures, NeedASample) { EXPECT_THROW(measure(speedRun(), {}, std::nullopt), InputError); }

TEST(Summary, HasEveryKeyOnceWithUnitAndMeaning) {
  const auto json = summaryOf(measure(speedRun(), evenPull(), samples::closing()))["measures"];
  std::set<std::string> keys;
  for (const auto& line : tabulate(Measures{})) {
    EXPECT_TRUE(keys.insert(line.key).second) << line.key << " stands twice";
    EXPECT_GT(std::string(line.meaning).size(), 5u) << line.key;
    EXPECT_EQ(json[line.key]["unit"], siSymbol(line.dimension)) << line.key;
  }
  EXPECT_EQ(json.size(), keys.size());
  for (const auto& [key, entry] : json.items()) {
    EXPECT_TRUE(keys.contains(key)) << key;
    EXPECT_TRUE(entry.contains("value") && entry.contains("unit") && entry.contains("meaning"));
  }
}

TEST(Summary, NumbersSurviveTheFileBitForBit) {
  auto series = evenPull();
  for (auto& row : series) row.horizontalLoad = 1000.0 / 3.0;
  const Measures measures = measure(speedRun(), series, std::nullopt);
  EXPECT_EQ(summaryOf(measures)["measures"]["peak_load"]["value"].get<double>(), 1000.0 / 3.0);
}

TEST(ResultsTable, SpeaksTheUnitsAskedFor) {
  const Measures measures = measure(speedRun(), evenPull(), samples::closing());
  const std::string us = resultsTable(measures, DisplayUnits::parse("us"));
  EXPECT_NE(us.find("450 lbf"), std::string::npos) << us;  // 2000 N = 449.6 lbf
  EXPECT_NE(us.find("9.84 in"), std::string::npos) << us;  // 0.25 m
  EXPECT_NE(us.find("30 deg"), std::string::npos) << us;
  EXPECT_NE(us.find("already ploughed"), std::string::npos) << us;
  EXPECT_NE(us.find("one seed"), std::string::npos) << us;
  EXPECT_EQ(us.find("nan"), std::string::npos) << us;
}

TEST(ResultsTable, DoubtsInTheUnitsAskedFor) {
  auto series = evenPull();
  for (SeriesRow& row : series) {
    row.drift *= 0.254;  // 0.508 m in all
    row.anchorSpeed = 0.0514444;
  }
  const Measures measures = measure(speedRun(), series, samples::closing());
  const std::string us = resultsTable(measures, DisplayUnits::parse("us"));
  EXPECT_NE(us.find("averaged over 20 in of drift instead of 39.4 in"), std::string::npos) << us;
  EXPECT_NE(us.find("still moving at 0.1 kn when"), std::string::npos) << us;
  const std::string metric = resultsTable(measures, DisplayUnits());
  EXPECT_NE(metric.find("averaged over 0.508 m of drift instead of 1 m"), std::string::npos);
  EXPECT_NE(metric.find("still moving at 0.051 m/s when"), std::string::npos);
}

std::vector<std::string> cellsOf(const std::string& line) {
  std::vector<std::string> cells;
  std::stringstream stream(line + ",");
  for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
  return cells;
}

TEST(SeriesCsv, HasAHeadForEveryCellAndKeepsEveryBit) {
  const RunDescription run = samples::description(1);
  std::stringstream csv(seriesCsv(run, {samples::row(3), samples::row(4)}));
  std::string head, first, second, more;
  std::getline(csv, head);
  std::getline(csv, first);
  std::getline(csv, second);
  EXPECT_FALSE(std::getline(csv, more));
  const auto names = cellsOf(head), values = cellsOf(first);
  ASSERT_EQ(names.size(), values.size());
  EXPECT_EQ(names[0], "time [s]");
  for (std::size_t k = 0; k < kScalarColumns.size(); ++k)
    EXPECT_EQ(std::stod(values[k]), samples::row(3).*kScalarColumns[k].field) << names[k];
  EXPECT_NE(head.find("load_x [N]"), std::string::npos);
  EXPECT_NE(head.find("force_on_shank_z [N]"), std::string::npos);
  EXPECT_NE(head.find("demand [N]"), std::string::npos);
}

TEST(SeriesCsv, SpeaksTheUnitsAskedFor) {
  const RunDescription run = samples::description(1);
  SeriesRow row;
  row.pitch = kPi / 2.0;
  row.drift = 0.0254;
  const DisplayUnits us = DisplayUnits::parse("us");
  std::stringstream csv(seriesCsv(run, {row}, &us));
  std::string head, first;
  std::getline(csv, head);
  std::getline(csv, first);
  const auto names = cellsOf(head), values = cellsOf(first);
  for (std::size_t k = 0; k < names.size(); ++k) {
    if (names[k] == "pitch [deg]") {
      EXPECT_DOUBLE_EQ(std::stod(values[k]), 90.0);
    }
    if (names[k] == "drift [in]") {
      EXPECT_DOUBLE_EQ(std::stod(values[k]), 1.0);
    }
  }
  EXPECT_NE(head.find("pitch [deg]"), std::string::npos) << head;
  EXPECT_NE(head.find("drift [in]"), std::string::npos) << head;
}

}  // namespace
}  // namespace holdground
