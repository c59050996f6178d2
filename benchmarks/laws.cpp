// Times the step of a pull under each kind of ground, beside the sand's, in turn within one run.
//
// usage: bench_laws [GRAINS]      (default: 20000; from the repository's root)
// Prints CSV: million grain-steps a second, spheres of stones counted one by one, the median of
// several turns of each kernel, on one thread; ratio is fast over reference. Stderr tells each
// law's rate over the sand's of the same turns, and pairs that act a second. Beds are copies of
// settled tiles; stones are twice as large as the sand's grains, their spheres then about as large.

#include <fmt/format.h>
#include <omp.h>

#include <cstdio>
#include <cstdlib>
#include <exception>
#include <memory>
#include <string>
#include <vector>

#include "benchmarks/timed_pull.hpp"
#include "scenarios/run/tile_source.hpp"
#include "scenarios/schema/bed_file.hpp"

namespace {

using namespace holdground;

struct Law {
  const char* name;
  const char* bed;   ///< file
  GrainShape shape;  ///< put in place of the file's
};

const std::vector<Law> kLaws = {
    {"sand", "loose-sand", GrainShape::kSphere},
    {"pull-off", "soft-mud", GrainShape::kSphere},
    {"elasto-plastic", "sandy-mud", GrainShape::kSphere},
    {"rounded stones", "loose-sand", GrainShape::kRounded},
    {"angular stones", "loose-sand", GrainShape::kAngular},
};

/// A pull through a bed of a kind that is soon under way, on a tile of about 10,000 spheres.
TrialSpec benchmarkTrial(const Law& law) {
  TrialSpec trial = readTrialFile("scenarios/trials/quickstart.toml");
  trial.bed = readBedFile(fmt::format("scenarios/beds/{}.toml", law.bed));
  trial.bed.shape = law.shape;
  if (law.shape != GrainShape::kSphere) {
    trial.bed.smallestDiameter *= 2.0;
    trial.bed.largestDiameter *= 2.0;
    trial.bed.material.rollingFriction = 0.0;  // as shipped: their shape resists rolling
  }
  trial.bed.tileLength = 1.2;
  trial.bed.tileWidth = 1.0;
  trial.bed.depth = 0.7;
  trial.pull.settleTime = 0.02;
  trial.pull.speed.startTime = 0.02;
  return trial;
}

struct Rivals {
  std::string name;
  std::size_t grains;
  std::unique_ptr<Contender> fast, reference;
};

Rivals prepare(const Law& law, std::size_t grains) {
  const TrialSpec trial = benchmarkTrial(law);
  const TileRecipe recipe = tileRecipe(trial.bed, trial.seed, trial.rayleighFraction);
  const GrainSet bed = bedOf(obtainTile(recipe), grains);
  return {law.name, bed.size(),
          std::make_unique<Contender>("fast", KernelKind::kFast, trial, recipe, bed),
          std::make_unique<Contender>("reference", KernelKind::kReference, trial, recipe, bed)};
}

int run(std::size_t grains) {
  std::vector<Rivals> all;
  for (const Law& law : kLaws) all.push_back(prepare(law, grains));
  omp_set_num_threads(1);
  for (Rivals& r : all) {
    r.fast->startCounting();
    r.reference->startCounting();
  }
  for (int turn = 0; turn < kTurns; ++turn)
    for (Rivals& r : all) {
      r.fast->takeTurn();
      r.reference->takeTurn();
    }
  fmt::print("law,grains,fast_mgs,reference_mgs,ratio\n");
  for (const Rivals& r : all) {
    fmt::print("{},{},{:.2f},{:.2f},{:.2f}\n", r.name, r.grains, r.fast->rate(),
               r.reference->rate(), r.fast->rate() / r.reference->rate());
    fmt::print(stderr, "{}: {:.2f} of the sand's rate, {:.1f} million acting pairs a second\n",
               r.name, r.fast->rate() / all.front().fast->rate(),
               r.fast->rate() * r.fast->pairsPerGrain());
    r.fast->tell(1);
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const std::size_t grains = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 20000;
  if (argc > 2 || grains == 0) {
    fmt::print(stderr, "usage: bench_laws [GRAINS]\n");
    return 2;
  }
  try {
    return run(grains);
  } catch (const std::exception& error) {
    fmt::print(stderr, "bench_laws: {}\n", error.what());
    return 2;
  }
}
