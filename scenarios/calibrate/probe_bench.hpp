#pragma once
// Measures a bed's figures for calibration with the bed card's own probes, on its small tile.
//
// Quick: shear cells at 3.2 and 10 kPa to half the card's strain. Full: the card's settings, and
// three packings for the unit weight. Slopes are of three packings in both. Strength is that of a
// cell under the weight of the bed above the depth asked for. Unit weight is that of small tiles
// times what the bed's own, which is deeper or shallower, is denser than they are before the
// search. What was measured is kept in one book for each of the two. Checked by:
// tests/unit/scenarios/probe_bench_test.cpp

#include <filesystem>

#include "scenarios/calibrate/calibrate_bed.hpp"
#include "scenarios/card/card_probes.hpp"

namespace holdground {

struct BenchSettings {
  CardSettings quick{{3200.0, 10000.0}, 0.01, 1.0, 400, 6.0}, full;
};

/// Settles the small tile of the bed as it is, and for a unit weight the bed's own.
Bench probeBench(const BedRecipe& bed, const BenchSettings& settings = {});

/// Where trials are kept: the same file for all beds that differ only in what calibration changes.
std::filesystem::path trialBookFile(const BedRecipe& bed, const CardSettings& settings);

}  // namespace holdground
