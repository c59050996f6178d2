#pragma once
// The command line of holdground-view.

#include <CLI/CLI.hpp>
#include <filesystem>
#include <optional>
#include <string>

#include "postprocess/chart/reading_units.hpp"
#include "postprocess/view/view_products.hpp"

namespace holdground {

struct ViewOptions {
  bool charts = false;
  bool picture = false;
  bool film = false;
  std::filesystem::path record;
  std::filesystem::path folder;  ///< where the files go; empty: beside the record
  ReadingUnits units = readingUnits(DisplayUnits());
  std::optional<double> time;  ///< of the picture [s]
  std::optional<ImageSize> size;
  std::optional<double> speed;            ///< of the film, over real time
  std::optional<double> framesPerSecond;  ///< of the film

  std::filesystem::path outputFolder() const;
};

/// Reads the command line. CLI::ParseError for help, version and mistakes; InputError for values
/// that make no sense.
ViewOptions readViewOptions(CLI::App& app, int argc, char** argv);

/// "1600x900"; InputError for anything else.
ImageSize imageSizeFrom(const std::string& text);

}  // namespace holdground
