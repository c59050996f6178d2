#include "postprocess/view/view_options.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/core/version.hpp"

namespace holdground {
namespace {

constexpr int kLeastSide = 320;
constexpr int kLargestSide = 7680;
constexpr double kFastestFilm = 1000.0;
constexpr double kMostFramesPerSecond = 120.0;

struct Words {
  std::string units = "metric";
  std::string size;
};

void addRecord(CLI::App& app, ViewOptions& options) {
  app.add_option("RECORD", options.record, "a folder that a pull wrote, or its record.h5");
  app.add_option("-o,--output", options.folder, "folder for the files (default: beside the record)")
      ->type_name("DIR");
}

void addUnits(CLI::App& app, Words& words) {
  app.add_option("--units", words.units, "units to read: metric, us, or a list like us,ft or mm,kN")
      ->type_name("LIST");
}

void addSize(CLI::App& app, Words& words) {
  app.add_option("--size", words.size,
                 fmt::format("pixels of picture and film, sides of {} to {}, as in 1600x900",
                             kLeastSide, kLargestSide))
      ->type_name("WxH");
}

void addTime(CLI::App& app, ViewOptions& options) {
  app.add_option("--time", options.time, "moment of the picture in s (default: the last)")
      ->type_name("S");
}

void addFilm(CLI::App& app, ViewOptions& options) {
  app.add_option("--speed", options.speed,
                 "film at this multiple of real time (default: what the trial says, or 1)")
      ->check(CLI::Range(1e-3, kFastestFilm))
      ->type_name("N");
  app.add_option("--fps", options.framesPerSecond, "pictures a second of film (default: about 20)")
      ->check(CLI::Range(1.0, kMostFramesPerSecond))
      ->type_name("N");
}

}  // namespace

std::filesystem::path ViewOptions::outputFolder() const {
  if (!folder.empty()) return folder;
  if (std::filesystem::is_directory(record)) return record;
  return record.has_parent_path() ? record.parent_path() : std::filesystem::path(".");
}

ImageSize imageSizeFrom(const std::string& text) {
  ImageSize size{0, 0};
  const char* end = text.data() + text.size();
  const auto width = std::from_chars(text.data(), end, size.width);
  const bool crossed = width.ec == std::errc() && width.ptr != end && *width.ptr == 'x';
  const auto height = crossed ? std::from_chars(width.ptr + 1, end, size.height) : width;
  const auto allowed = [](int side) { return side >= kLeastSide && side <= kLargestSide; };
  if (!crossed || height.ec != std::errc() || height.ptr != end || !allowed(size.width) ||
      !allowed(size.height)) {
    throw InputError(
        fmt::format("--size: found '{}', allowed is WIDTHxHEIGHT with sides of {} to {}", text,
                    kLeastSide, kLargestSide));
  }
  return size;
}

ViewOptions readViewOptions(CLI::App& app, int argc, char** argv) {
  ViewOptions options;
  Words words;
  app.description(
      "Draws what a pull recorded. Without a verb it makes everything: charts (SVG and PNG),\n"
      "a picture of the bed cut open along the rode, and a film.");
  app.footer(
      "Example: holdground-view out/quickstart\n"
      "         holdground-view film out/quickstart --speed 0.25 --units us");
  app.set_version_flag("--version", versionString());
  app.require_subcommand(0, 1);
  CLI::App* charts = app.add_subcommand("charts", "load, embedment and attitude against drift");
  charts->footer("Example: holdground-view charts out/quickstart --units us");
  CLI::App* picture = app.add_subcommand("picture", "the bed cut open along the rode");
  picture->footer("Example: holdground-view picture out/quickstart --time 4.5 --size 1920x1080");
  CLI::App* film = app.add_subcommand("film", "the pull as a film");
  film->footer("Example: holdground-view film out/quickstart --speed 0.25 --fps 30");
  for (CLI::App* verb : {&app, charts, picture, film}) {
    addRecord(*verb, options);
    addUnits(*verb, words);
  }
  for (CLI::App* verb : {&app, picture}) addTime(*verb, options);
  for (CLI::App* verb : {&app, film}) addFilm(*verb, options);
  for (CLI::App* verb : {&app, picture, film}) addSize(*verb, words);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ExtrasError&) {
    // The library's own message has the words in reverse.
    throw InputError("found " + CLI::detail::join(app.remaining(true), " ") +
                     ", which is not allowed here; see --help");
  }

  if (options.record.empty()) {
    throw InputError("no record given; example: holdground-view out/quickstart");
  }
  if (options.time && !std::isfinite(*options.time)) throw InputError("--time: not a number");
  const bool all = app.get_subcommands().empty();
  options.charts = all || charts->parsed();
  options.picture = all || picture->parsed();
  options.film = all || film->parsed();
  options.units = readingUnits(DisplayUnits::parse(words.units));
  if (!words.size.empty()) options.size = imageSizeFrom(words.size);
  return options;
}

}  // namespace holdground
