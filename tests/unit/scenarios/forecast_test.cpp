#include "scenarios/run/forecast.hpp"

#include <gtest/gtest.h>
#include <malloc.h>

#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/small_pull.hpp"

namespace holdground {
namespace {

Forecast forecastOf(const TrialSpec& trial, const GrainSet& bed, std::size_t framed, double time) {
  return forecastPull(trial, bed, framed, smallPull(KernelKind::kFast, bed).bed, time);
}

/// Taken from the system by this process and not given back [bytes].
double allocated() {
  const auto heap = mallinfo2();
  return static_cast<double>(heap.uordblks + heap.hblkhd);
}

}  // namespace

TEST(Forecast, CountsTheStepsAndTimesThem) {
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  const double dt = smallPull(KernelKind::kFast, bed).bed.timeStep;
  const Forecast forecast = forecastOf(TrialSpec{}, bed, bed.size(), 1000.5 * dt);
  EXPECT_EQ(forecast.steps, 1001u);
  EXPECT_EQ(forecast.grains, bed.size());
  EXPECT_GT(forecast.rate, 0.0);
  // A pull costs more than the same steps of a bed at rest, but not twice as much.
  const double atRest = static_cast<double>(forecast.grains * forecast.steps) / forecast.rate;
  EXPECT_GT(forecast.wallTime, atRest);
  EXPECT_LT(forecast.wallTime, 2.0 * atRest);
}

TEST(Forecast, OfTheDiskCountsFramesAndTheGrainsTheyKeep) {
  const GrainSet bed = layTiles(smallTile(), 2, 1);
  TrialSpec trial;
  trial.output.frameInterval = 0.1;
  const double all = forecastOf(trial, bed, bed.size(), 10.0).disk;
  const double half = forecastOf(trial, bed, bed.size() / 2, 10.0).disk;
  trial.output.frameInterval = 0.2;
  const double fewer = forecastOf(trial, bed, bed.size(), 10.0).disk;
  EXPECT_LT(half, all);
  EXPECT_DOUBLE_EQ(fewer, half);  // half of the grains cost as much as half of the frames
}

// A bed in its exchange form, a kernel with its lists, and a frame: nine numbers of four bytes a
// grain. What a grain more costs, so that what is fixed does not count. Within a quarter, as lists
// have room to grow.
TEST(Forecast, OfTheMemoryIsWhatBedKernelAndFrameTake) {
  const Tile tile = smallTile();
  const double before = allocated();
  const GrainSet bed = layTiles(tile, 6, 6);
  const auto kernel = makeKernel(KernelKind::kFast, bed, smallPull(KernelKind::kFast, bed).bed);
  steps(*kernel, 20);
  const auto grains = static_cast<double>(bed.size());
  const double aGrain = (allocated() - before) / grains + 9.0 * 4.0;
  if (before == 0.0) GTEST_SKIP() << "this allocator does not count, as that of a sanitizer";
  const double forecast = forecastOf(TrialSpec{}, bed, bed.size(), 1.0).memory -
                          forecastOf(TrialSpec{}, tile.grains, bed.size(), 1.0).memory;
  EXPECT_NEAR(forecast / (grains - static_cast<double>(tile.grains.size())) / aGrain, 1.0, 0.25);
}

// Before the first frame there is room for a checkpoint, which holds the kernel as it is.
TEST(Forecast, OfTheDiskHoldsACheckpoint) {
  const GrainSet bed = layTiles(smallTile(), 3, 3);
  const auto kernel = makeKernel(KernelKind::kFast, bed, smallPull(KernelKind::kFast, bed).bed);
  steps(*kernel, 20);
  const auto checkpoint = static_cast<double>(kernel->freeze().size());
  const double forecast = forecastOf(TrialSpec{}, bed, bed.size(), 1e-9).disk;
  EXPECT_NEAR(forecast / checkpoint, 1.0, 0.5);
}

TEST(Forecast, ReckonedFromTheRecipeIsThatOfTheBed) {
  TrialSpec trial;
  trial.output.frameInterval = 0.1;
  const GrainSet bed = layTiles(smallTile(), 2, 1);
  const Forecast measured = forecastOf(trial, bed, bed.size(), 10.0);
  const Forecast reckoned = reckonPull(trial, smallRecipe(), 2.0, 1.0, 10.0);
  EXPECT_EQ(reckoned.rate, 0.0);
  EXPECT_EQ(forecastText(reckoned).find("about"), std::string::npos);
  // Grains within the scatter of a draw of some hundred; the step follows from the smallest drawn,
  // which is a little larger than the smallest allowed.
  EXPECT_NEAR(static_cast<double>(reckoned.grains), static_cast<double>(measured.grains),
              0.1 * static_cast<double>(measured.grains));
  EXPECT_NEAR(static_cast<double>(reckoned.steps), static_cast<double>(measured.steps),
              0.05 * static_cast<double>(measured.steps));
  EXPECT_NEAR(reckoned.memory, measured.memory, 0.1 * measured.memory);
  EXPECT_NEAR(reckoned.disk, measured.disk, 0.1 * measured.disk);
}

// Of a bed that is not there: a guess, but of the right size. The small bed came to rest after half
// a second rather than five, so that only the pull is compared with a timed one.
TEST(Forecast, BeforeTheBedIsThereGuessesHowLong) {
  const GrainSet bed = layTiles(smallTile(), 2, 1);
  const Forecast reckoned = reckonPull(TrialSpec{}, smallRecipe(), 2.0, 1.0, 10.0);
  const Forecast measured = forecastOf(TrialSpec{}, bed, bed.size(), 10.0);
  EXPECT_GT(reckoned.runWork, 0.05 * measured.wallTime);
  EXPECT_LT(reckoned.runWork, 20.0 * measured.wallTime);
  // Half the grains for half as long, and not slowed by what moves through them.
  EXPECT_NEAR(reckoned.settlingWork, reckoned.runWork / 4.0 / 1.25, 0.01 * reckoned.runWork);
  Forecast known;
  known.grains = 10;
  known.steps = 20;
  known.settlingWork = 240.0;
  known.runWork = 20.0;
  EXPECT_EQ(guessText(known, 2),
            "about 10 grains, 20 steps: 0 MB of memory, 0 MB of disk; roughly 2 min to settle the "
            "bed and 10 s for the rest (guessed from 8 million grain-steps/s a thread; measured "
            "once the bed is there)");
}

TEST(Forecast, RefusesMoreGrainsThanTheKernelCanName) {
  EXPECT_NO_THROW(reckonPull(TrialSpec{}, smallRecipe(), 1e4, 1.0, 1.0));
  TrialSpec wide;
  wide.copiesX = 1000;
  wide.copiesY = 1000;
  wide.reading = Reading({"pull.toml", ""});
  wide.reading.mark("tiles.along", {4, 1});
  const auto faultOf = [](const auto& reckon) -> std::string {
    try {
      reckon();
    } catch (const InputError& error) {
      return error.what();
    }
    return "";
  };
  EXPECT_EQ(faultOf([&] {
              reckonPull(wide, smallRecipe(), 1e6, 1.0, 1.0);
            }).rfind("pull.toml:4:1: tiles.along: found about ", 0),
            0u);
  TileRecipe huge = smallRecipe();
  huge.length = huge.width = 1000.0;
  EXPECT_EQ(faultOf([&] { reckonTile(huge, "bed.toml"); }).rfind("bed.toml: tile: found about ", 0),
            0u);
}

TEST(Forecast, ReadsAsOneLine) {
  Forecast forecast;
  forecast.grains = 1234;
  forecast.steps = 5678;
  forecast.rate = 1e6;
  forecast.wallTime = 140.0;
  forecast.memory = 91.4e6;
  forecast.disk = 12.0e6;
  EXPECT_EQ(forecastText(forecast),
            "1234 grains, 5678 steps: about 2 min 20 s, 91 MB of memory, 12 MB of disk");
}

}  // namespace holdground
