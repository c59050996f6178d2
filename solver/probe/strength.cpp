#include "solver/probe/strength.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdground {
namespace {

double meanOf(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

template <typename Value>
std::vector<double> seriesOf(std::span<const ShearReading> readings, Value&& value) {
  std::vector<double> series;
  for (const ShearReading& r : readings) series.push_back(value(r));
  return series;
}

/// Mean stress over a run of readings.
Mat3 meanStress(std::span<const ShearReading> readings) {
  Mat3 sum = Mat3::Zero();
  for (const ShearReading& r : readings) sum += r.slice.stress();
  return sum / static_cast<double>(readings.size());
}

std::size_t windowOf(const ShearRecord& record) {
  const double perReading = record.settings.strain / static_cast<double>(record.readings.size());
  return std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(kPeakWindow / perReading)));
}

void findPeak(const ShearRecord& record, ShearStrength& result) {
  const std::span<const ShearReading> all(record.readings);
  const std::size_t window = windowOf(record);
  for (std::size_t first = 0; first + window <= all.size(); ++first) {
    const auto run = all.subspan(first, window);
    const PrincipalStress p = principalStress(meanStress(run));
    if (p.shear() <= result.peakShear) continue;
    result.peakSine = p.mobilisedSine();
    result.peakShear = p.shear();
    result.peakStrain = 0.5 * (run.front().strain + run.back().strain);
  }
}

/// Greatest fall of the solid fraction with strain, from means over windows a window apart.
double greatestDilatancy(const ShearRecord& record) {
  const std::vector<double> fraction =
      seriesOf(record.readings, [](const ShearReading& r) { return r.slice.solidFraction; });
  const std::span<const double> all(fraction);
  const std::size_t window = windowOf(record);
  double greatest = -1.0;
  for (std::size_t first = 0; first + 2 * window <= fraction.size(); ++first) {
    const double before = meanOf(all.subspan(first, window));
    const double after = meanOf(all.subspan(first + window, window));
    greatest = std::max(greatest, std::log(before / after) / kPeakWindow);
  }
  return greatest;
}

/// Error of t at its s; at least a thousandth, so that no circle is taken as exact.
double errorOfShear(const ShearStrength& cell) {
  return std::max(cell.shear.standardError, 1e-3 * cell.shear.mean);
}

/// Cells that scatter more than their own errors allow widen the error of what is fitted to them
/// (Birge 1932, from memory). @param squares  of deviations over errors, summed.
double wideningFor(double squares, std::size_t degreesOfFreedom) {
  if (degreesOfFreedom == 0) return 1.0;
  return std::sqrt(std::max(1.0, squares / static_cast<double>(degreesOfFreedom)));
}

struct Line {
  Estimate atNone, slope;
};

/// Shear strength t against an abscissa, fitted with weights of the errors of t.
template <typename Abscissa>
Line lineThrough(std::span<const ShearStrength> cells, Abscissa&& abscissa) {
  double w = 0.0, ws = 0.0, wt = 0.0, wss = 0.0, wst = 0.0;
  for (const ShearStrength& cell : cells) {
    const double error = errorOfShear(cell);
    const double weight = 1.0 / (error * error), s = abscissa(cell), t = cell.shear.mean;
    w += weight;
    ws += weight * s;
    wt += weight * t;
    wss += weight * s * s;
    wst += weight * s * t;
  }
  const double determinant = w * wss - ws * ws;
  const double slope = (w * wst - ws * wt) / determinant;
  const double intercept = (wss * wt - ws * wst) / determinant;
  double squares = 0.0;
  for (const ShearStrength& cell : cells) {
    const double off = cell.shear.mean - intercept - slope * abscissa(cell);
    squares += off * off / std::pow(errorOfShear(cell), 2);
  }
  const double widening = wideningFor(squares, cells.size() - 2);
  return {{intercept, widening * std::sqrt(wss / determinant)},
          {slope, widening * std::sqrt(w / determinant)}};
}

}  // namespace

Estimate estimateOf(std::span<const double> blocks) {
  const auto count = static_cast<double>(blocks.size());
  const double mean = meanOf(blocks);
  double squares = 0.0;
  for (const double m : blocks) squares += (m - mean) * (m - mean);
  return {mean, std::sqrt(squares / (count * (count - 1.0)))};
}

ShearStrength shearStrength(const ShearRecord& record) {
  ShearStrength result;
  result.normalStress = record.settings.normalStress;
  result.initialSolidFraction = record.pressed.slice.solidFraction;
  result.pressedHeight = record.pressed.height;
  const std::span<const ShearReading> all(record.readings);
  const auto steady = all.subspan(
      static_cast<std::size_t>(kSteadyFrom * static_cast<double>(record.readings.size())));
  const std::size_t length = steady.size() / kBlocks;
  const auto estimate = [&](auto&& valueOfBlock) {
    std::vector<double> blocks;
    for (std::size_t k = 0; k < kBlocks; ++k)
      blocks.push_back(valueOfBlock(steady.subspan(k * length, length)));
    return estimateOf(blocks);
  };
  using Block = std::span<const ShearReading>;
  const auto principal = [](Block block) { return principalStress(meanStress(block)); };
  result.sine = estimate([&](Block block) { return principal(block).mobilisedSine(); });
  result.mean = estimate([&](Block block) { return principal(block).mean(); });
  result.shear = estimate([&](Block block) { return principal(block).shear(); });
  result.shearRatio = estimate([](Block block) {
    const Mat3 stress = meanStress(block);
    return -stress(0, 2) / stress(2, 2);
  });
  result.solidFraction = estimate([](Block block) {
    return meanOf(seriesOf(block, [](const ShearReading& r) { return r.slice.solidFraction; }));
  });
  result.coordination = estimate([](Block block) {
    return meanOf(seriesOf(block, [](const ShearReading& r) { return r.slice.coordination; }));
  });
  findPeak(record, result);
  result.dilatancy = greatestDilatancy(record);

  const double rate =
      meanOf(seriesOf(steady, [](const ShearReading& r) { return r.slice.shearRate.x(); }));
  const double height = meanOf(seriesOf(steady, [](const ShearReading& r) { return r.height; }));
  result.shearShare = rate / (record.rate * record.pressed.height / height);
  const Mat3 stress = meanStress(steady);
  result.inertialNumber =
      rate * record.meanDiameter * std::sqrt(record.settings.material.density / stress(2, 2));
  Vec3 lid = Vec3::Zero();
  for (const ShearReading& r : steady) lid += r.lidForce / static_cast<double>(steady.size());
  result.lidNormalShare = lid.z() / stress(2, 2);
  result.lidShearShare = lid.x() / stress(0, 2);
  return result;
}

StrengthLine strengthLine(std::span<const ShearStrength> cells) {
  const Line line = lineThrough(cells, [](const ShearStrength& cell) { return cell.mean.mean; });
  const double cosine = std::sqrt(std::max(0.0, 1.0 - line.slope.mean * line.slope.mean));
  return {line.slope, {line.atNone.mean / cosine, line.atNone.standardError / cosine}};
}

StrengthByStress strengthByStress(std::span<const ShearStrength> cells) {
  const Line line = lineThrough(cells, [](const ShearStrength& cell) { return cell.normalStress; });
  return {line.atNone, line.slope};
}

double oedometerModulus(std::span<const ShearStrength> cells) {
  const ShearStrength &least = cells.front(), &most = cells.back();
  const double strain = (least.pressedHeight - most.pressedHeight) / least.pressedHeight;
  return (most.normalStress - least.normalStress) / strain;
}

Estimate frictionAngle(std::span<const ShearStrength> cells) {
  double w = 0.0, sum = 0.0, squares = 0.0;
  for (const ShearStrength& cell : cells) {
    const double sine = std::clamp(cell.sine.mean, -1.0, 1.0);
    const double slope = 1.0 / std::sqrt(std::max(1e-6, 1.0 - sine * sine));  // d asin
    const double error = std::max(cell.sine.standardError * slope, 1e-3);
    w += 1.0 / (error * error);
    sum += std::asin(sine) / (error * error);
    squares += std::pow(std::asin(sine) / error, 2);
  }
  const double scatter = std::max(0.0, squares - sum * sum / w);
  return {sum / w, wideningFor(scatter, cells.size() - 1) * std::sqrt(1.0 / w)};
}

}  // namespace holdground
