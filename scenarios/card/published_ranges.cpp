#include "scenarios/card/published_ranges.hpp"

#include <algorithm>

namespace holdground {
namespace {

struct Row {
  const char* kind;
  const char* figure;
  double low, high;  ///< in the figure's unit: N/m3, degrees, Pa, or none
  const char* source;
};

constexpr const char* kSandWeight = "Lambe & Whitman 1969, from memory";
constexpr const char* kSandAngle = "Bolton 1986, quartz sand at constant volume, from memory";
constexpr const char* kSandPeak = "Lambe & Whitman 1969, from memory";
constexpr const char* kDryHeap = "Lambe & Whitman 1969, poured dry sand, from memory";
constexpr const char* kNavfac = "NAVFAC DM-7 1986, from memory";
constexpr const char* kRockfill = "Leps 1970, low stress; rounded stones from 36, from memory";
constexpr const char* kHarbour = "US Navy category of soft harbour mud";
constexpr const char* kMudStrength = "strength classes, up to soft clay, from memory";

const Row kRows[] = {
    {"loose sand", "submerged_unit_weight_N_per_m3", 7500, 9500, kSandWeight},
    {"loose sand", "void_ratio", 0.67, 0.89, kSandWeight},  // porosity 0.40 to 0.47
    {"loose sand", "friction_angle_deg", 28, 33, kSandAngle},
    {"loose sand", "peak_angle_deg", 28, 34, kSandPeak},
    {"loose sand", "k0", 0.40, 0.55, "Jaky 1944 for 28 to 33 degrees, from memory"},
    {"loose sand", "repose_dry_deg", 28, 35, kDryHeap},
    {"medium sand", "submerged_unit_weight_N_per_m3", 8500, 10500, kSandWeight},
    {"medium sand", "void_ratio", 0.54, 0.72, kSandWeight},  // porosity 0.35 to 0.42
    {"medium sand", "friction_angle_deg", 30, 34, kSandAngle},
    {"medium sand", "peak_angle_deg", 32, 38, kSandPeak},
    {"medium sand", "k0", 0.38, 0.50, "Jaky 1944 for 30 to 38 degrees, from memory"},
    {"medium sand", "repose_dry_deg", 28, 35, kDryHeap},
    {"dense sand", "submerged_unit_weight_N_per_m3", 9500, 11000, kSandWeight},
    {"dense sand", "void_ratio", 0.43, 0.61, kSandWeight},  // porosity 0.30 to 0.38
    {"dense sand", "friction_angle_deg", 30, 34, kSandAngle},
    {"dense sand", "peak_angle_deg", 36, 46, "Bolton 1986, low stress, from memory"},
    {"dense sand", "dilatancy_deg", 5, 20, "Bolton 1986, low stress, from memory"},
    {"dense sand", "repose_dry_deg", 28, 35, kDryHeap},
    {"gravel", "submerged_unit_weight_N_per_m3", 9000, 11000, kNavfac},
    {"gravel", "friction_angle_deg", 34, 42, kNavfac},
    {"gravel", "void_ratio", 0.33, 0.67, kNavfac},
    {"gravel", "repose_dry_deg", 30, 40, "Lambe & Whitman 1969, from memory"},
    {"cobble", "submerged_unit_weight_N_per_m3", 8000, 11000, kNavfac},
    {"cobble", "friction_angle_deg", 36, 50, kRockfill},
    {"cobble", "void_ratio", 0.61, 0.82, kRockfill},  // porosity 0.38 to 0.45
    {"sandy mud", "submerged_unit_weight_N_per_m3", 6000, 8000, kNavfac},
    {"sandy mud", "friction_angle_deg", 25, 30, kNavfac},
    {"sandy mud", "strength_Pa", 5000, 20000, "silty mud, from memory"},
    {"soft mud", "submerged_unit_weight_N_per_m3", 3000, 6000, kHarbour},
    {"soft mud", "strength_Pa", 500, 12000, kMudStrength},
};

}  // namespace

std::vector<std::string> kindsWithRanges() {
  std::vector<std::string> kinds;
  for (const Row& row : kRows)
    if (std::find(kinds.begin(), kinds.end(), row.kind) == kinds.end()) kinds.push_back(row.kind);
  return kinds;
}

std::optional<PublishedRange> publishedRange(const std::string& kind, const std::string& figure) {
  for (const Row& row : kRows)
    if (kind == row.kind && figure == row.figure)
      return PublishedRange{row.low, row.high, row.source};
  return std::nullopt;
}

std::string verdictOn(double figure, const PublishedRange& range) {
  if (figure < range.low) return "below";
  return figure > range.high ? "above" : "inside";
}

}  // namespace holdground
