#include "scenarios/card/tool_figures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenarios/card/published_ranges.hpp"
#include "scenarios/card/soil_formulas.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

// Depths of reading, over the tool's width, and half the way each is averaged over.
constexpr double kBarDepths[] = {2.0, 4.0, 5.5};
constexpr double kConeDepths[] = {1.5, 2.5, 3.5};
constexpr double kHalfWindow = 0.4;
constexpr double kSinkage = 0.25;     // of the plate pushed down, over its breadth
constexpr double kPeakWindow = 0.05;  // of a plate's way over its breadth
constexpr double kTurnWindow = 5.0 * kPi / 180.0;
constexpr double kOpenCavity = 2.6;  // stress over strength below which a bar's trench stays open
constexpr double kAgreement = 0.15;  // vane and shear cell

Json describe(const ToolCurve& curve) {
  Json json;
  json["width_m"] = curve.width;
  if (curve.height > 0.0) json["height_m"] = curve.height;
  if (curve.endless > 0.0) json["length_m"] = curve.endless;
  json["speed_m_per_s"] = curve.speed;
  json["speed_over_width_per_s"] = curve.speed / curve.width;
  json["grains"] = curve.grains;
  return json;
}

/// Adds a figure beside its published range.
void judge(Json& verdicts, const std::string& figure, const std::string& name, double measured,
           const PublishedRange& range) {
  Json row;
  row["figure"] = figure;
  row["name"] = name;
  if (!std::isfinite(measured)) return;
  row["measured"] = measured;
  row["low"] = range.low;
  row["high"] = range.high;
  row["verdict"] = verdictOn(measured, range);
  row["source"] = range.source;
  verdicts.push_back(row);
}

class Figures {
 public:
  explicit Figures(const ToolGround& ground) : ground_(ground) {}

  Json tBar(const ToolCurve& c) {
    Json json = describe(c);
    json["readings"] = Json::array();
    Json last;
    for (const double depth : kBarDepths) {
      const double z = depth * c.width;
      const Estimate force = at(c, z);
      Json r = reading(z, force);
      const double pressure = force.mean / (c.width * c.endless);
      r["pressure_Pa"] = pressure;
      r["pressure_over_stress"] = pressure / stressAt(z);
      if (ground_.isCohesive) {
        const double cell = ground_.strengthAt(stressAt(z));
        r["strength_Pa"] = tBarStrength(force.mean, c.width, c.endless);
        r["cell_strength_Pa"] = cell;
        r["factor"] = pressure / cell;
        r["trench_stays_open"] = stressAt(z) < kOpenCavity * cell;
      }
      json["readings"].push_back(r);
      last = r;
    }
    if (ground_.isCohesive)
      judge(verdicts, "t_bar_factor", fmt::format("T-bar, F/(su D L) {:.2f} m down", depthOf(last)),
            last["factor"].get<double>(),
            {kTBarSmooth, kTBarRough, "Randolph & Houlsby 1984, smooth to rough, from memory"});
    return json;
  }

  /// What a second pass meets over what the first met.
  Json tBarAgain(const ToolCurve& first, const ToolCurve& second) const {
    Json json = describe(second);
    json["readings"] = Json::array();
    for (const double depth : kBarDepths) {
      const double z = depth * second.width;
      Json r = reading(z, at(second, z));
      const double before = at(first, z).mean;
      if (before > 0.0) r["over_first_pass"] = at(second, z).mean / before;
      json["readings"].push_back(r);
    }
    return json;
  }

  Json vane(const ToolCurve& c) {
    Json json = describe(c);
    const double stress = stressAt(c.startDepth);
    const double turned = c.way.empty() ? 0.0 : c.way.back();
    const double peak = c.peak(kTurnWindow, 0.5 * kPi);
    const Estimate after = c.mean(2.0 * kPi, turned);
    json["depth_m"] = c.startDepth;
    json["vertical_stress_Pa"] = stress;
    json["peak_torque_Nm"] = peak;
    json["remoulded_torque_Nm"] = after.mean;
    json["remoulded_torque_se_Nm"] = after.standardError;
    json["strength_Pa"] = vaneStrength(peak, c.width, c.height);
    json["remoulded_strength_Pa"] = vaneStrength(after.mean, c.width, c.height);
    json["sensitivity"] = peak / after.mean;
    const double cellPeak = ground_.peakStrengthAt(stress), cell = ground_.strengthAt(stress);
    json["cell_peak_strength_Pa"] = cellPeak;
    json["cell_strength_Pa"] = cell;
    if (!ground_.isCohesive) return json;
    const PublishedRange agree{1.0 - kAgreement, 1.0 + kAgreement,
                               "vane (ASTM D2573) and shear cell within 15 %"};
    judge(verdicts, "vane_peak_over_cell", "vane, su at peak over the cells'",
          json["strength_Pa"].get<double>() / cellPeak, agree);
    judge(verdicts, "vane_remoulded_over_cell", "vane, after a turn over the cells' steady su",
          json["remoulded_strength_Pa"].get<double>() / cell, agree);
    judge(verdicts, "vane_sensitivity", "sensitivity", json["sensitivity"].get<double>(),
          {2.0, 5.0, "soft clay, from memory"});
    return json;
  }

  Json cone(const ToolCurve& c) {
    Json json = describe(c);
    json["readings"] = Json::array();
    Json last;
    for (const double depth : kConeDepths) {
      const double z = depth * c.width;
      const Estimate force = at(c, z);
      Json r = reading(z, force);
      const double q = coneResistance(force.mean, c.width);
      r["resistance_Pa"] = q;
      r["resistance_over_stress"] = q / stressAt(z);
      if (ground_.isCohesive) r["factor"] = (q - stressAt(z)) / ground_.strengthAt(stressAt(z));
      json["readings"].push_back(r);
      last = r;
    }
    const std::string depth = fmt::format("{:.2f} m down", depthOf(last));
    if (ground_.isCohesive) {
      judge(verdicts, "cone_factor", "cone, (q - stress)/su " + depth, last["factor"].get<double>(),
            {10.0, 18.0, "Lunne et al. 1997, deep, from memory"});
    } else {
      judge(verdicts, "cone_resistance_over_stress", "cone, q over stress " + depth,
            last["resistance_over_stress"].get<double>(),
            {0.5 * coneRatioInSand(ground_.frictionAngle), 2.0 * coneRatioInSand(ground_.peakAngle),
             "Robertson & Campanella 1983, deep, within a factor of 2, from memory"});
    }
    return json;
  }

  Json plateDown(const ToolCurve& c) {
    Json json = describe(c);
    const double b = c.width, w = kSinkage * b, window = 0.1 * b;
    const Estimate force = c.mean(w - c.startDepth - window, w - c.startDepth + window);
    const double q = force.mean / (b * c.endless), weight = ground_.unitWeight;
    json.update(reading(w, force));
    json["pressure_Pa"] = q;
    const double phi = ground_.frictionAngle, peak = ground_.peakAngle;
    if (!ground_.isCohesive) {
      json["factor"] = q / (0.5 * weight * b);
      judge(verdicts, "bearing_factor", "plate pushed in, q/(gamma' B/2) a quarter B deep",
            json["factor"].get<double>(),
            {bearingNGamma(phi).low + 2.0 * kSinkage * bearingNq(phi),
             bearingNGamma(peak).high + 2.0 * kSinkage * bearingNq(peak),
             "Martin 2005, strip, with N_q of the sinkage, from memory"});
      return json;
    }
    const double cell = ground_.strengthAt(weight * (w + 0.5 * b));
    json["cell_strength_Pa"] = cell;
    json["factor"] = (q - weight * w) / cell;
    judge(verdicts, "bearing_factor", "plate pushed in, (q - gamma' w)/su",
          json["factor"].get<double>(),
          {0.93 * kStripFactor, 1.07 * kStripFactor * (1.0 + 0.2 * kSinkage),
           "Prandtl 1920, strip, depth by Skempton 1951, 7 %, from memory"});
    const auto byLine = [&](double nGamma) {
      return ground_.rateFactor * ground_.cohesion * bearingNc(phi) + weight * w * bearingNq(phi) +
             0.5 * weight * b * nGamma;
    };
    const FactorRange nGamma = bearingNGamma(phi);
    judge(verdicts, "bearing_over_line", "plate pushed in, q over that of c and phi",
          q / byLine(nGamma.high),
          {0.93 * byLine(nGamma.low) / byLine(nGamma.high), 1.07,
           "Prandtl 1920, Reissner 1924, Martin 2005, from memory"});
    return json;
  }

  Json plateUp(const ToolCurve& c) {
    Json json = describe(c);
    const double area = c.width * c.endless, depth = c.startDepth, over = depth / c.width;
    const double force = c.peak(kPeakWindow * c.width, depth);
    json["depth_m"] = depth;
    json["force_N"] = force;
    json["pressure_Pa"] = force / area;
    if (ground_.isCohesive) {
      const double cell = ground_.strengthAt(0.5 * stressAt(depth));
      json["cell_strength_Pa"] = cell;
      json["factor"] = (force / area - stressAt(depth)) / cell;
      const double n = upliftStripFactor(over);
      judge(verdicts, "uplift_factor", "plate pulled up, (q - gamma' H)/su",
            json["factor"].get<double>(),
            {0.88 * n, 1.12 * n, "Merifield et al. 2001, vented strip, 12 %, from memory"});
    } else {
      json["factor"] = force / (area * stressAt(depth));
      judge(verdicts, "uplift_factor", "plate pulled up, q/(gamma' H)",
            json["factor"].get<double>(),
            {upliftInSand(ground_.frictionAngle, over).low,
             upliftInSand(ground_.peakAngle, over).high,
             "vertical slip to Murray & Geddes 1987, strip, from memory"});
    }
    return json;
  }

  Json plateSideways(const ToolCurve& c) {
    Json json = describe(c);
    const double h = c.width, weight = ground_.unitWeight;
    const Estimate force = c.mean(0.2 * h, 0.5 * h);
    const double perLength = force.mean / c.endless;
    json.update(reading(h, force));
    if (ground_.isCohesive) {
      const double cell = ground_.strengthAt(0.5 * weight * h);
      json["cell_strength_Pa"] = cell;
      json["factor"] = (perLength / h - 0.5 * weight * h) / cell;
      const double n = sidewaysStripFactor(1.0);
      judge(verdicts, "sideways_factor", "plate pushed sideways, (q - gamma' h/2)/su",
            json["factor"].get<double>(),
            {0.85 * n, 1.15 * n, "Merifield et al. 2001, vented strip, 15 %, from memory"});
    } else {
      json["factor"] = perLength / (0.5 * weight * h * h);
      const double phi = ground_.frictionAngle, peak = ground_.peakAngle;
      judge(verdicts, "sideways_factor", "plate pushed sideways, F/(gamma' h^2/2)",
            json["factor"].get<double>(),
            {rankinePassive(phi) - rankineActive(phi),
             coulombPassive(peak, ground_.steelAngle) - rankineActive(peak),
             "Rankine 1857 to Coulomb 1776 with the steel's friction, less the active side"});
    }
    return json;
  }

  Json verdicts = Json::array();

 private:
  double stressAt(double depth) const { return ground_.unitWeight * depth; }
  static double depthOf(const Json& r) { return r["depth_m"].get<double>(); }

  /// Force about a depth of the tool.
  static Estimate at(const ToolCurve& c, double depth) {
    const double way = depth - c.startDepth, half = kHalfWindow * c.width;
    return c.mean(way - half, way + half);
  }

  Json reading(double depth, const Estimate& force) const {
    Json r;
    r["depth_m"] = depth;
    r["vertical_stress_Pa"] = stressAt(depth);
    r["force_N"] = force.mean;
    r["force_se_N"] = force.standardError;
    return r;
  }

  const ToolGround& ground_;
};

}  // namespace

double ToolGround::strengthAt(double verticalStress) const {
  return rateFactor * (strength + slope * verticalStress);
}

double ToolGround::peakStrengthAt(double verticalStress) const {
  std::size_t k = 1;
  while (k + 1 < stress.size() && stress[k] < verticalStress) ++k;
  const double share = (verticalStress - stress[k - 1]) / (stress[k] - stress[k - 1]);
  return peakRateFactor * (peakStrength[k - 1] + share * (peakStrength[k] - peakStrength[k - 1]));
}

Json toolFigures(const ToolReadings& r, const ToolGround& ground) {
  Figures figures(ground);
  Json json;
  json["t_bar"] = figures.tBar(r.tBar);
  json["t_bar_again"] = figures.tBarAgain(r.tBar, r.tBarAgain);
  json["vane"] = figures.vane(r.vane);
  json["cone"] = figures.cone(r.cone);
  json["plate_down"] = figures.plateDown(r.plateDown);
  json["plate_up"] = figures.plateUp(r.plateUp);
  json["plate_sideways"] = figures.plateSideways(r.plateSideways);
  json["verdicts"] = figures.verdicts;
  return json;
}

}  // namespace holdground
