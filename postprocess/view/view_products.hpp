#pragma once
// What holdground-view makes of a trial: chart files, a picture, a film. A display must be there
// for all but the SVG charts (offscreen_display.hpp).

#include <filesystem>
#include <functional>
#include <optional>
#include <vector>

#include "postprocess/chart/drawing.hpp"
#include "postprocess/chart/reading_units.hpp"
#include "postprocess/view/recorded_trial.hpp"

namespace holdground {

struct ImageSize {
  int width = 1600;  ///< [px]
  int height = 900;  ///< [px]
};

struct NamedChart {
  std::string name;  ///< of the files, without ending
  Drawing drawing;
};

std::vector<NamedChart> chartsOf(const RecordedTrial& trial, const ReadingUnits& units);

/// The frame nearest to `time`, or the last one. InputError when there is none.
Raster pictureOf(const RecordedTrial& trial, std::optional<double> time, ImageSize size,
                 const ReadingUnits& units);

struct FilmPlan {
  std::optional<double> speed;  ///< trial seconds a second of film; empty: what the trial wishes
  std::optional<double> framesPerSecond;  ///< empty: evenFramesPerSecond()
  ImageSize size{960, 540};               ///< made even
  ReadingUnits units = readingUnits(DisplayUnits());
};

/// Writes the film, from the moment the pull begins.
/// @param progress  called with pictures done and to do
/// InputError when the record has no frames.
void makeFilm(const RecordedTrial& trial, const FilmPlan& plan, const std::filesystem::path& file,
              const std::function<void(int, int)>& progress);

}  // namespace holdground
