#include "postprocess/view/recorded_trial.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/chart/axis.hpp"
#include "postprocess/measure/measures.hpp"
#include "postprocess/measure/percentile.hpp"
#include "postprocess/measure/summary.hpp"
#include "postprocess/picture/visible_grains.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

// Long enough for anchor and furrow, short enough for single grains to be seen.
constexpr double kWindowLength = 2.8;  // [m]
// How far beyond the end of the bed the rode is drawn.
constexpr double kRodeBeyond = 0.10;     // [m]
constexpr double kLeastTopSpeed = 0.01;  // an anchor that never moved still needs a scale [m/s]
constexpr double kSightsPerDiameter = 9.0;

std::filesystem::path recordAt(const std::filesystem::path& path) {
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    throw InputError(path.string() + ": no such file or folder");
  }
  if (!std::filesystem::is_directory(path, ignored)) return path;
  const std::filesystem::path record = path / "record.h5";
  if (!std::filesystem::exists(record, ignored)) {
    throw InputError(path.string() +
                     ": no record.h5 in this folder; make one with: holdground pull");
  }
  return record;
}

std::vector<double> finite(std::vector<double> values) {
  std::erase_if(values, [](double value) { return !std::isfinite(value); });
  return values;
}

std::size_t nearest(const std::vector<double>& sorted, double value) {
  const auto after = std::lower_bound(sorted.begin(), sorted.end(), value);
  if (after == sorted.begin()) return 0;
  const auto k = static_cast<std::size_t>(after - sorted.begin());
  return after == sorted.end() || value - sorted[k - 1] <= sorted[k] - value ? k - 1 : k;
}

TrialCurves curvesOf(const std::vector<SeriesRow>& rows) {
  TrialCurves curves;
  const bool hasBegun = rows.back().time >= 0.0;
  for (const SeriesRow& row : rows) {
    if (hasBegun && row.time < 0.0) continue;
    curves.time.push_back(row.time);
    curves.drift.push_back(row.drift);
    curves.load.push_back(row.horizontalLoad);
    curves.toeDepth.push_back(row.toeEmbedment);
    curves.heelDepth.push_back(row.heelEmbedment);
    curves.shackleDepth.push_back(row.shackleEmbedment);
    curves.pitch.push_back(row.pitch);
    curves.list.push_back(row.list);
    curves.heading.push_back(row.heading);
  }
  return curves;
}

HoldingMark markOf(const Measures& measures, const std::vector<SeriesRow>& rows) {
  HoldingMark mark;
  mark.toDrift = rows.back().drift;
  mark.peak = measures.peakLoad;
  if (measures.atSpeed) {
    mark.fromDrift = mark.toDrift - measures.atSpeed->averagedDrift;
    mark.name = measures.atSpeed->averagedDrift < 0.95 ? "whole pull" : "last metre";
    mark.mean = measures.atSpeed->mean;
    mark.p90 = measures.atSpeed->percentile90;
    return mark;
  }
  mark.held = measures.held;
  return mark;
}

/// Horizontal direction of the rode when it takes hold [rad].
double azimuthOf(const std::vector<SeriesRow>& rows) {
  for (const SeriesRow& row : rows) {
    const Vec3 line = row.boatEnd - row.shacklePosition;
    if (row.time >= 0.0 && line.allFinite() && std::hypot(line.x(), line.y()) > 1e-3)
      return std::atan2(line.y(), line.x());
  }
  return 0.0;
}

double floorOf(const BedDescription& bed) {
  double floor = 0.0;
  for (std::size_t k = 0; k < bed.referencePosition.size(); ++k) {
    const double lowest = bed.referencePosition[k].z() - bed.radius[k];
    if (std::isfinite(lowest)) floor = std::min(floor, lowest);
  }
  return floor < 0.0 ? floor : bed.floorZ;
}

}  // namespace

RecordedTrial::RecordedTrial(const std::filesystem::path& path) : reader_(recordAt(path)) {
  rows_ = reader_.readSeries();
  if (rows_.empty()) throw InputError(path.string() + ": the record holds no samples yet");
  curves_ = curvesOf(rows_);
  measures_ = measure(reader_.description(), rows_, reader_.closing());
  holding_ = markOf(measures_, rows_);
  azimuth_ = azimuthOf(rows_);
  frameTimes_ = reader_.frameTimes();
  std::vector<double> speeds;
  for (const SeriesRow& row : rows_) speeds.push_back(row.anchorSpeed);
  // The scale ends at about the usual speed of the anchor: jerks do not stretch it.
  speeds = finite(speeds);
  speeds.push_back(kLeastTopSpeed);
  topSpeed_ = roundStep(std::max(percentile(speeds, 0.5), kLeastTopSpeed), 1);
  const BedDescription& bed = reader_.description().bed;
  floorZ_ = floorOf(bed);
  if (!bed.radius.empty()) medianDiameter_ = 2.0 * percentile(bed.radius, 0.5);
}

std::vector<std::string> RecordedTrial::doubts(const DisplayUnits& units) const {
  return holdground::doubts(measures_, units);
}

std::string RecordedTrial::conditions() const {
  const RunDescription& run = reader_.description();
  return run.bed.name.empty() ? run.trialName : run.bed.name + " · " + run.trialName;
}

std::string RecordedTrial::cautionUntil(double time) const {
  std::uint64_t flags = 0, passages = 0;
  for (const SeriesRow& row : rows_) {
    if (row.time > time) continue;
    flags |= row.flags;
    passages = row.steelPassages;
  }
  std::string text;
  const auto add = [&](bool holds, const char* what) {
    if (holds) text += (text.empty() ? "caution: " : "; ") + std::string(what);
  };
  add((flags & kNearSide) != 0, "near ground already ploughed, as the bed repeats");
  add((flags & kNearBottom) != 0, "near the bottom of the bed");
  add(passages > 0, "grains went through the steel");
  return text;
}

std::string RecordedTrial::grainSizes() const {
  const BedDescription& bed = reader_.description().bed;
  std::vector<double> diameters;
  for (std::size_t k = 0; k < bed.radius.size(); ++k)
    if (bed.frozen[k] == 0) diameters.push_back(2e3 * bed.radius[k]);
  if (diameters.empty()) return "";
  const auto [least, greatest] = std::minmax_element(diameters.begin(), diameters.end());
  const std::string sizes = fmt::format("grains of {:.0f} to {:.0f} mm", *least, *greatest);
  if (!bed.layer.empty()) return sizes + ", every second layer in grey";
  // Only grains that stand for finer ones are set back toward steel.
  return bed.steelSetback > 0.0 ? sizes + ", a model: far coarser than the real ones" : sizes;
}

PeriodicPlan RecordedTrial::plan() const {
  const BedDescription& bed = reader_.description().bed;
  return {bed.lengthX, bed.lengthY, azimuth_};
}

std::size_t RecordedTrial::firstFrameOfPull() const {
  for (std::size_t k = 0; k < frameTimes_.size(); ++k)
    if (frameTimes_[k] >= 0.0) return k;
  return 0;
}

double RecordedTrial::frameInterval() const {
  if (frameTimes_.size() < 2) return 0.0;
  return (frameTimes_.back() - frameTimes_.front()) / static_cast<double>(frameTimes_.size() - 1);
}

std::size_t RecordedTrial::frameAt(double time) const {
  if (frameTimes_.empty())
    throw InputError("the record holds no frames, so there is nothing to draw");
  return nearest(frameTimes_, time);
}

PictureFrame RecordedTrial::pictureOf(const FrameData& data, int width, int height) const {
  const RunDescription& run = reader_.description();
  const Vec3 shackle = plan().turned(
      data.bodyPosition + data.orientation * (run.anchor.shackle - run.anchor.centreOfMass));
  PictureFrame picture;
  picture.width = width;
  picture.height = height;
  picture.window =
      windowAround(plan().turned(data.bodyPosition).x(), shackle.y(), kWindowLength, plan());
  picture.floorZ = floorZ_;
  picture.topSpeed = topSpeed_;
  return picture;
}

Scene RecordedTrial::sceneOf(const FrameData& data, const PictureFrame& picture,
                             const SideView& view) const {
  const RunDescription& run = reader_.description();
  Scene scene;
  scene.window = picture.window;
  scene.topSpeed = picture.topSpeed;
  scene.bodyPosition = plan().turned(data.bodyPosition);
  scene.orientation = Eigen::AngleAxisd(-azimuth_, Vec3::UnitZ()) * data.orientation;
  const std::vector<SeenGrain> all = grainsIn(picture.window, plan(), data.grainPosition,
                                              run.bed.radius, data.grainSpeed, run.bed.layer);
  if (!run.bed.grainId.empty()) scene.window = trimmedTo(all, picture.window);
  scene.grains = visibleGrains(all, scene.window, view,
                               std::max(medianDiameter_ / kSightsPerDiameter, view.metresPerPixel));
  const Vec3 shackle =
      scene.bodyPosition + scene.orientation * (run.anchor.shackle - run.anchor.centreOfMass);
  Vec3 along = plan().turned(data.boatEnd) - shackle;
  if (!along.allFinite() || !(along.x() > 0.0)) along = Vec3::UnitX();
  const double reach = std::max(picture.window.toX + kRodeBeyond - shackle.x(), kRodeBeyond);
  scene.rode = {shackle, shackle + along * (reach / along.x())};
  return scene;
}

MomentFacts RecordedTrial::factsAt(double time) const {
  const auto after = std::partition_point(rows_.begin(), rows_.end(),
                                          [&](const SeriesRow& row) { return row.time < time; });
  const bool former = after == rows_.end() ||
                      (after != rows_.begin() && time - (after - 1)->time <= after->time - time);
  const SeriesRow& row = former ? *(after - 1) : *after;
  return {time,      row.drift, row.horizontalLoad, row.toeEmbedment, row.heelEmbedment,
          row.pitch, row.list};
}

}  // namespace holdground
