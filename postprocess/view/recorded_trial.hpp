#pragma once
// A trial as the charts, pictures and films want it, read from its record.

#include <filesystem>
#include <vector>

#include "postprocess/chart/trial_charts.hpp"
#include "postprocess/measure/measures.hpp"
#include "postprocess/picture/bed_window.hpp"
#include "postprocess/picture/picture_caption.hpp"
#include "postprocess/read/record_reader.hpp"
#include "postprocess/view/scene_renderer.hpp"

namespace holdground {

class RecordedTrial {
 public:
  /// @param path  a record, or a folder that holds a record.h5
  /// InputError when there is none, it cannot be read, or it has no samples.
  explicit RecordedTrial(const std::filesystem::path& path);

  /// Of the pull itself: the anchor's lying down before it is left out.
  const TrialCurves& curves() const { return curves_; }
  const HoldingMark& holding() const { return holding_; }
  /// Bed and trial in a few words.
  std::string conditions() const;
  /// Empty, or what makes the samples up to `time` doubtful [s].
  std::string cautionUntil(double time) const;
  /// What makes the figures doubtful, one sentence each.
  std::vector<std::string> doubts(const DisplayUnits& units) const;
  /// Size of the grains in a few words, and that they stand for finer ones when they do.
  std::string grainSizes() const;
  /// The first frame of the pull itself; the first of all when it had not begun.
  std::size_t firstFrameOfPull() const;

  /// Wished by the trial, over real time.
  double filmSpeed() const { return reader_.description().filmSpeed; }
  const std::vector<double>& frameTimes() const { return frameTimes_; }
  /// Mean time between frames; 0 with less than two [s].
  double frameInterval() const;
  /// The frame nearest to a time. InputError when the record has no frames.
  std::size_t frameAt(double time) const;

  const AnchorDescription& anchor() const { return reader_.description().anchor; }

  /// Size and contents of a picture of one frame. InputError when the frame is damaged.
  PictureFrame pictureOf(const FrameData& data, int width, int height) const;
  Scene sceneOf(const FrameData& data, const PictureFrame& picture, const SideView& view) const;
  MomentFacts factsAt(double time) const;

  FrameData readFrame(std::size_t index) const { return reader_.readFrame(index); }

 private:
  PeriodicPlan plan() const;

  RecordReader reader_;
  std::vector<SeriesRow> rows_;
  TrialCurves curves_;
  HoldingMark holding_;
  Measures measures_;
  std::vector<double> frameTimes_;
  double topSpeed_ = 1.0;         // [m/s]
  double floorZ_ = -1.0;          // of the grains [m]
  double medianDiameter_ = 0.04;  // [m]
  double azimuth_ = 0.0;          // of the rode as the pull begins [rad]
};

}  // namespace holdground
