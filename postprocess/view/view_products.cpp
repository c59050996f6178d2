#include "postprocess/view/view_products.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/picture/film_frames.hpp"
#include "postprocess/view/canvas.hpp"
#include "postprocess/view/video_encoder.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

// A still can afford to be drawn at twice its size and averaged down; a film cannot.
constexpr int kStillOversampling = 2;
constexpr int kFilmOversampling = 1;

}  // namespace

std::vector<NamedChart> chartsOf(const RecordedTrial& trial, const ReadingUnits& units) {
  const ChartText text{trial.anchor().name + " · " + trial.conditions(),
                       trial.doubts(units.wished)};
  const TrialCurves& curves = trial.curves();
  return {{"charts", drawTrialSheet(curves, trial.holding(), text, units)},
          {"chart_load", drawLoadChart(curves, trial.holding(), text, units)},
          {"chart_embedment", drawEmbedmentChart(curves, text, units)},
          {"chart_attitude", drawAttitudeChart(curves, text, units)}};
}

Raster pictureOf(const RecordedTrial& trial, std::optional<double> time, ImageSize size,
                 const ReadingUnits& units) {
  const std::size_t index = trial.frameAt(time.value_or(HUGE_VAL));
  const double first = trial.frameTimes().front(), last = trial.frameTimes().back();
  if (time && (*time < first || *time > last)) {
    throw InputError(fmt::format("--time: found {:g} s, the record has frames from {:g} to {:g} s",
                                 *time, first, last));
  }
  const FrameData data = trial.readFrame(index);
  const PictureFrame picture = trial.pictureOf(data, size.width, size.height);
  const SideView view = viewOf(picture);
  const Scene scene = trial.sceneOf(data, picture, view);
  SceneRenderer renderer(size.width, size.height, kStillOversampling, trial.anchor());
  const Raster bed = renderer.render(scene, view);
  const PictureText text{trial.anchor().name, trial.conditions(), trial.grainSizes(),
                         trial.cautionUntil(data.time)};
  Canvas canvas(size.width, size.height);
  return canvas.paint(
      bed, drawCaption(picture, view, scene.rode, trial.factsAt(data.time), text, units));
}

void makeFilm(const RecordedTrial& trial, const FilmPlan& plan, const std::filesystem::path& file,
              const std::function<void(int, int)>& progress) {
  const int width = plan.size.width / 2 * 2;
  const int height = plan.size.height / 2 * 2;
  trial.frameAt(0.0);  // fails early when there are no frames
  const double speed = plan.speed.value_or(trial.filmSpeed());
  const double framesPerSecond =
      plan.framesPerSecond.value_or(evenFramesPerSecond(speed, trial.frameInterval()));
  const double step = speed / framesPerSecond;
  const std::vector<std::size_t> frames =
      filmFrames(trial.frameTimes(), trial.firstFrameOfPull(), step);
  const std::string pace = speed == 1.0 ? "real time" : fmt::format("{:g} × real time", speed);

  VideoEncoder encoder(file, width, height, framesPerSecond);
  SceneRenderer renderer(width, height, kFilmOversampling, trial.anchor());
  Canvas canvas(width, height);
  Raster shown;
  std::optional<std::size_t> shownIndex;
  int done = 0;
  for (const std::size_t index : frames) {
    if (index != shownIndex) {
      const FrameData data = trial.readFrame(index);
      const PictureFrame picture = trial.pictureOf(data, width, height);
      const SideView view = viewOf(picture);
      const Scene scene = trial.sceneOf(data, picture, view);
      const PictureText text{trial.anchor().name, trial.conditions() + " · " + pace,
                             trial.grainSizes(), trial.cautionUntil(data.time)};
      Drawing over =
          drawCaption(picture, view, scene.rode, trial.factsAt(data.time), text, plan.units);
      addLoadTrace(over, picture, trial.curves(), data.time, plan.units);
      shown = canvas.paint(renderer.render(scene, view), over);
      shownIndex = index;
    }
    encoder.add(shown);
    progress(++done, static_cast<int>(frames.size()));
  }
  encoder.finish();
}

}  // namespace holdground
