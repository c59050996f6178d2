#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <iostream>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/card_text.hpp"
#include "scenarios/card/full_card.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

namespace {

/// Whether this can be a file, before anything is settled. Makes nothing.
void checkFile(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!file.has_filename() || std::filesystem::is_directory(file, ignored))
    throw InputError(fmt::format("--output: found {}, a folder, allowed is a file", file.string()));
  const std::filesystem::path folder = std::filesystem::absolute(file).parent_path();
  if (!std::filesystem::is_directory(folder, ignored))
    throw InputError(fmt::format("--output: found {}, allowed is a file in a folder that is there",
                                 file.string()));
  if (access(folder.c_str(), W_OK | X_OK) != 0)
    throw SystemError(
        fmt::format("{}: cannot be written: {}", file.string(), std::strerror(errno)));
}

}  // namespace

int runBed(const BedRecipe& bed, const BedOptions& options) {
  if (options.output.has_value()) checkFile(*options.output);
  // Stress inside a stone has no branches to be summed over.
  if (options.card != CardKind::kTile && bed.shape != GrainShape::kSphere)
    throw InputError(fmt::format(
        "{}: --card: found stones of several spheres, allowed is a bed of single grains",
        bed.source.path));
  const std::string crowded = useThreads(options.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  const TileRecipe recipe = tileRecipe(bed, bed.seed);
  checkRoom(reckonTile(recipe), roomFor(cacheFolder()));
  const Tile tile = obtainTile(recipe);
  if (options.output.has_value()) writeTile(*options.output, tile);
  const bool isKept = TileCache(cacheFolder()).find(recipe).has_value();
  const nlohmann::ordered_json card = options.card == CardKind::kFull ? fullCard(bed, recipe, tile)
                                      : options.card == CardKind::kQuick
                                          ? quickCard(bed, recipe, tile)
                                          : tileCard(bed, recipe, tile);
  if (options.report == ReportStyle::kJson) {
    std::cout << card.dump(2) << '\n';
  } else {
    std::cout << tileCardText(card)
              << fmt::format("  {:<28}{}\n", isKept ? "kept as" : "not kept",
                             card["tile"].get<std::string>());
    if (options.card != CardKind::kTile) std::cout << probesText(card);
  }
  return isKept || options.output.has_value() ? kDone : kSystemFault;
}

}  // namespace holdground
