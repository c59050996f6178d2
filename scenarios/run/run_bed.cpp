#include <fmt/format.h>

#include <iostream>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/card_text.hpp"
#include "scenarios/card/full_card.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/output_file.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

int runBed(const BedRecipe& bed, const BedOptions& options) {
  if (options.work == BedWork::kCalibrate) return runCalibration(bed, options);
  if (options.output.has_value()) checkOutputFile(*options.output);
  const std::string crowded = useThreads(options.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  const TileRecipe recipe = tileRecipe(bed, bed.seed);
  checkRoom(reckonTile(recipe, bed.source.path), roomFor(cacheFolder()));
  const Tile tile = obtainTile(recipe, "", bed.source.path);
  if (options.output.has_value()) writeTile(*options.output, tile);
  const bool isKept = TileCache(cacheFolder()).find(recipe).has_value();
  const nlohmann::ordered_json card = options.card == CardKind::kFull ? fullCard(bed, recipe, tile)
                                      : options.card == CardKind::kQuick
                                          ? quickCard(bed, recipe, tile)
                                          : tileCard(bed, recipe, tile);
  if (options.report == ReportStyle::kJson) {
    std::cout << card.dump(2) << '\n';
  } else {
    std::cout << tileCardText(card, options.units)
              << fmt::format("  {:<28}{}\n", isKept ? "kept as" : "not kept",
                             card["tile"].get<std::string>());
    if (options.card != CardKind::kTile) std::cout << probesText(card, options.units);
  }
  return isKept || options.output.has_value() ? kDone : kSystemFault;
}

}  // namespace holdground
