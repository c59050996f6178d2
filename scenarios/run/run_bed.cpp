#include <fmt/format.h>

#include <iostream>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/card_text.hpp"
#include "scenarios/card/full_card.hpp"
#include "scenarios/card/stack_card.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/output_file.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

namespace {

nlohmann::ordered_json cardOf(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
                              CardKind kind) {
  if (bed.isStack())
    return kind == CardKind::kTile ? stackTileCard(bed, recipe, tile)
                                   : stackCard(bed, recipe, tile);
  switch (kind) {
    case CardKind::kFull:
      return fullCard(bed, recipe, tile);
    case CardKind::kQuick:
      return quickCard(bed, recipe, tile);
    case CardKind::kTile:
      break;
  }
  return tileCard(bed, recipe, tile);
}

void checkTileFile(const std::filesystem::path& file, const std::filesystem::path& input) {
  checkOutputFile(file, input);
  if (std::filesystem::exists(file) && !readTile(file))
    throw InputError(
        fmt::format("--output: found {}, a file that is not a settled bed, allowed is "
                    "a new file or a settled bed, which is replaced",
                    file.string()));
}

}  // namespace

int runBed(const BedRecipe& bed, const BedOptions& options) {
  if (options.work == BedWork::kCalibrate) return runCalibration(bed, options);
  if (options.output.has_value()) checkTileFile(*options.output, bed.source.path);
  if (options.card == CardKind::kFull && bed.isStack())
    throw InputError(fmt::format(
        "{}: --card full: found a stack of layers, allowed is a bed of one soil, or --card",
        bed.source.path));
  const std::string crowded = useThreads(options.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  const TileRecipe recipe = tileRecipe(bed, bed.seed);
  checkRoom(reckonTile(recipe, bed.source.path), roomFor(cacheFolder()));
  const Tile tile = obtainTile(recipe, "", bed.source.path);
  if (options.output.has_value()) writeTile(*options.output, tile);
  const bool isKept = TileCache(cacheFolder()).find(recipe).has_value();
  const nlohmann::ordered_json card = cardOf(bed, recipe, tile, options.card);
  if (options.report == ReportStyle::kJson) {
    std::cout << card.dump(2) << '\n';
  } else {
    std::cout << (bed.isStack() ? stackCardText(card, options.units)
                                : tileCardText(card, options.units))
              << fmt::format("  {:<28}{}\n", isKept ? "kept as" : "not kept",
                             card["tile"].get<std::string>());
    if (options.card != CardKind::kTile && !bed.isStack())
      std::cout << probesText(card, options.units);
  }
  return isKept || options.output.has_value() ? kDone : kSystemFault;
}

}  // namespace holdground
