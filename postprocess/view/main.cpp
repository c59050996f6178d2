// holdground-view: charts, a picture and a film of a recorded pull.
//
// Files made are listed on standard output, messages go to standard error. Exit status: 0 done,
// 2 something given cannot be used, 3 the machine failed us, 128 and its number when a signal ended
// it.

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <new>

#include "postprocess/chart/svg.hpp"
#include "postprocess/measure/whole_file.hpp"
#include "postprocess/view/canvas.hpp"
#include "postprocess/view/offscreen_display.hpp"
#include "postprocess/view/under_way.hpp"
#include "postprocess/view/view_options.hpp"
#include "postprocess/view/window_pixels.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr int kBadInput = 2;
constexpr int kSystemFailure = 3;
constexpr int kChartScale = 2;  // pixels of a PNG chart for each of the drawing

void announce(const std::filesystem::path& file) {
  fmt::print("{}\n", file.string());
  std::fflush(stdout);
}

/// Writes a file in one piece and lists it.
template <class Write>
void make(const std::filesystem::path& file, Write write) {
  {
    const UnderWay beside(besideOf(file));
    write(file);
  }
  announce(file);
}

void showFilmProgress(int done, int total) {
  if (isatty(STDERR_FILENO) == 0) return;
  fmt::print(stderr, "\rfilm: {} of {} pictures{}", done, total, done == total ? "\n" : "");
}

void makeFolder(const std::filesystem::path& folder) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) throw SystemError(fmt::format("cannot make {}: {}", folder.string(), error.message()));
}

void makeProducts(const ViewOptions& options) {
  const RecordedTrial trial(options.record);
  const std::filesystem::path folder = options.outputFolder();
  makeFolder(folder);
  std::vector<NamedChart> charts;
  if (options.charts) charts = chartsOf(trial, options.units);
  // These need no display, so a machine without one still gets them.
  for (const NamedChart& chart : charts) {
    make(folder / (chart.name + ".svg"),
         [&](const std::filesystem::path& file) { writeSvg(chart.drawing, file); });
  }
  const OffscreenDisplay display;
  for (const NamedChart& chart : charts) {
    const Raster raster = painted(chart.drawing, kChartScale);
    make(folder / (chart.name + ".png"),
         [&](const std::filesystem::path& file) { writePng(raster, file); });
  }
  if (options.picture) {
    const ImageSize size = options.size.value_or(ImageSize{});
    const Raster raster = pictureOf(trial, options.time, size, options.units);
    make(folder / "picture.png",
         [&](const std::filesystem::path& file) { writePng(raster, file); });
  }
  if (options.film) {
    FilmPlan plan;
    plan.speed = options.speed;
    plan.framesPerSecond = options.framesPerSecond;
    plan.units = options.units;
    plan.size = options.size.value_or(plan.size);
    makeFilm(trial, plan, folder / "film.mp4", showFilmProgress);
    announce(folder / "film.mp4");
  }
}

int complain(const std::string& what, int status) {
  fmt::print(stderr, "holdground-view: error: {}\n", what);
  return status;
}

int run(int argc, char** argv) {
  CLI::App app("", "holdground-view");
  leaveNothingWhenStopped();
  try {
    makeProducts(readViewOptions(app, argc, argv));
    return 0;
  } catch (const CLI::Success& asked) {
    return app.exit(asked);
  } catch (const CLI::ParseError& mistake) {
    return complain(mistake.what(), kBadInput);
  } catch (const InputError& error) {
    return complain(error.what(), kBadInput);
  } catch (const std::bad_alloc&) {
    return complain("not enough memory", kSystemFailure);
  } catch (const std::exception& error) {
    return complain(error.what(), kSystemFailure);
  }
}

}  // namespace
}  // namespace holdground

int main(int argc, char** argv) { return holdground::run(argc, argv); }
