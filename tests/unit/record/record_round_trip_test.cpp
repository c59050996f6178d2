#include <gtest/gtest.h>

#include <chrono>
#include <thread>

#include "postprocess/read/record_reader.hpp"
#include "solver/core/errors.hpp"
#include "solver/record/record_writer.hpp"
#include "tests/support/record_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

void writeRun(RecordWriter& writer, const RunDescription& run, std::size_t firstFrame,
              std::size_t frames) {
  for (std::size_t k = firstFrame; k < frames; ++k) {
    for (std::size_t i = 10 * k; i < 10 * (k + 1); ++i) writer.appendSeries(samples::row(i));
    writer.appendFrame(samples::frame(run, k));
  }
}

void expectRows(const std::vector<SeriesRow>& series, std::size_t count) {
  ASSERT_EQ(series.size(), count);
  for (std::size_t k = 0; k < count; ++k)
    EXPECT_EQ(samples::difference(series[k], samples::row(k)), "") << "row " << k;
}

class RecordRoundTrip : public ::testing::TestWithParam<LiveReading> {};

TEST_P(RecordRoundTrip, SeriesComeBackBitForBit) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(50);
  {
    RecordWriter writer(directory / "record.h5", run, GetParam());
    writeRun(writer, run, 0, 100);
    writer.close(samples::closing());
  }
  expectRows(RecordReader(directory / "record.h5").readSeries(), 1000);
}

TEST_P(RecordRoundTrip, DescriptionComesBack) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(50);
  { const RecordWriter writer(directory / "record.h5", run, GetParam()); }
  const RecordReader reader(directory / "record.h5");
  const RunDescription& read = reader.description();
  EXPECT_EQ(read.programVersion, run.programVersion);
  EXPECT_EQ(read.loadMode, run.loadMode);
  EXPECT_EQ(read.kernel, run.kernel);
  EXPECT_EQ(read.threads, run.threads);
  EXPECT_EQ(read.seeds, run.seeds);
  EXPECT_EQ(read.timeStep, run.timeStep);
  EXPECT_EQ(read.scenarioTexts, run.scenarioTexts);
  EXPECT_EQ(read.papers, run.papers);
  EXPECT_EQ(read.cautions, run.cautions);
  EXPECT_EQ(read.anchor.name, run.anchor.name);
  EXPECT_EQ(read.anchor.weight, run.anchor.weight);
  EXPECT_EQ(read.anchor.shackle, run.anchor.shackle);
  ASSERT_EQ(read.anchor.parts.size(), 2u);
  EXPECT_EQ(read.anchor.parts[1].name, "shank");
  EXPECT_EQ(read.anchor.parts[1].mesh.vertices, run.anchor.parts[1].mesh.vertices);
  EXPECT_EQ(read.anchor.parts[1].mesh.triangles, run.anchor.parts[1].mesh.triangles);
  EXPECT_EQ(read.bed.hash, run.bed.hash);
  EXPECT_EQ(read.bed.tilesX, run.bed.tilesX);
  EXPECT_EQ(read.bed.referencePosition, run.bed.referencePosition);
  EXPECT_EQ(read.bed.grainCount, run.bed.grainCount);
  EXPECT_EQ(read.bed.grainId, run.bed.grainId);
  EXPECT_EQ(read.bed.radius, run.bed.radius);
  EXPECT_EQ(read.bed.frozen, run.bed.frozen);
  EXPECT_EQ(read.bed.layer, run.bed.layer);
}

TEST_P(RecordRoundTrip, FramesComeBackWithinHalfAUnit) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(500);
  RecordWriter writer(directory / "record.h5", run, GetParam());
  writeRun(writer, run, 0, 30);
  const RecordReader reader(directory / "record.h5");
  ASSERT_EQ(reader.frameCount(), 30u);
  for (std::size_t k = 0; k < 30; ++k) {
    const FrameData truth = samples::frame(run, k);
    const FrameData read = reader.readFrame(k);
    EXPECT_EQ(read.time, truth.time);
    EXPECT_EQ(read.bodyPosition, truth.bodyPosition);
    EXPECT_EQ(read.orientation.coeffs(), truth.orientation.coeffs());
    EXPECT_EQ(read.boatEnd, truth.boatEnd);
    double largest = 0.0;
    for (std::size_t i = 0; i < 500; ++i)
      largest = std::max(
          largest, (truth.grainPosition[i] - run.bed.referencePosition[i]).cwiseAbs().maxCoeff());
    const double bound = 0.5 * format::displacementUnit(largest) + 1e-15;
    for (std::size_t i = 0; i < 500; ++i) {
      Vec3 error = read.grainPosition[i] - truth.grainPosition[i];
      error.x() = format::nearestImage(error.x(), run.bed.lengthX);
      error.y() = format::nearestImage(error.y(), run.bed.lengthY);
      EXPECT_LE(error.cwiseAbs().maxCoeff(), bound);
      EXPECT_EQ(read.grainSpeed[i], format::unpackHalf(format::packHalf(truth.grainSpeed[i])));
    }
  }
}

TEST_P(RecordRoundTrip, FarAndLostGrainsDoNotSpoilAFrame) {
  const TemporaryFolder directory;
  RunDescription run = samples::description(3);
  run.bed.lengthX = 20.0;
  RecordWriter writer(directory / "record.h5", run, GetParam());
  FrameData frame = samples::frame(run, 1);
  frame.grainPosition[0] = run.bed.referencePosition[0] + Vec3(4.5, 0.0, 0.0);  // 65 mm would fit
  frame.grainPosition[1].x() = std::nan("");
  frame.grainPosition[2].z() = -0.123;
  writer.appendFrame(frame);
  const FrameData read = RecordReader(directory / "record.h5").readFrame(0);
  const double half = 0.5 * format::displacementUnit(4.5);
  EXPECT_NEAR(read.grainPosition[0].x(), frame.grainPosition[0].x(), half);
  EXPECT_TRUE(read.grainPosition[1].array().isNaN().all());
  EXPECT_NEAR(read.grainPosition[2].z(), -0.123, half);
}

TEST_P(RecordRoundTrip, GrainsThatCrossThePeriodicSideComeBackWrapped) {
  const TemporaryFolder directory;
  RunDescription run = samples::description(1);
  run.bed.referencePosition[0] = {0.999, -0.499, -0.1};
  RecordWriter writer(directory / "record.h5", run, GetParam());
  FrameData frame = samples::frame(run, 0);
  frame.grainPosition[0] = {-0.998, 0.4985, -0.1};
  writer.appendFrame(frame);
  const FrameData read = RecordReader(directory / "record.h5").readFrame(0);
  // 3 mm across the side still fits the finest unit: half of 2e-6 m, and rounding.
  EXPECT_NEAR((read.grainPosition[0] - frame.grainPosition[0]).cwiseAbs().maxCoeff(), 0.0, 1.01e-6);
}

TEST_P(RecordRoundTrip, ClosingComesBackAndIsMissingBefore) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(5);
  RecordWriter writer(directory / "record.h5", run, GetParam());
  writer.flush();
  EXPECT_FALSE(RecordReader(directory / "record.h5").closing().has_value());
  writer.close(samples::closing());
  const auto read = RecordReader(directory / "record.h5").closing();
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->endReason, "drag of 3 m reached");
  EXPECT_EQ(read->stateHash, 0x123456789abcdef0ull);
  EXPECT_EQ(read->steps, 60000u);
  ASSERT_EQ(read->stages.size(), 2u);
  EXPECT_EQ(read->stages[1].name, "integrate");
  EXPECT_EQ(read->stages[1].seconds, 20.25);
  EXPECT_EQ(read->log, "first line\n" + std::string(160, 'x') + "\n" + std::string(160, 'x') +
                           "\n" + std::string(80, 'x') + "\nlast line\n");
}

TEST_P(RecordRoundTrip, ReadWhileWrittenShowsEveryFrameSoFar) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(200);
  RecordWriter writer(directory / "record.h5", run, GetParam());
  for (std::size_t k = 0; k < 20; ++k) {
    writeRun(writer, run, k, k + 1);
    const RecordReader reader(directory / "record.h5");
    EXPECT_EQ(reader.frameCount(), k + 1);
    expectRows(reader.readSeries(), 10 * (k + 1));
    EXPECT_EQ(reader.readFrame(k).time, samples::frame(run, k).time);
  }
}

TEST_P(RecordRoundTrip, ResumedRunHasNothingDoubledOrMissing) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(200);
  RecordPosition checkpoint;
  {
    RecordWriter writer(directory / "record.h5", run, GetParam());
    writeRun(writer, run, 0, 12);
    writer.flush();
    checkpoint = writer.position();
    writeRun(writer, run, 12, 25);  // past the checkpoint: to be discarded
    writer.close(samples::closing());
  }
  {
    RecordWriter writer = RecordWriter::resume(directory / "record.h5", checkpoint, GetParam());
    EXPECT_EQ(writer.position().frames, 12u);
    EXPECT_FALSE(RecordReader(directory / "record.h5").closing().has_value());
    writeRun(writer, run, 12, 30);
    writer.close(samples::closing());
  }
  {
    RecordWriter writer(directory / "whole.h5", run, GetParam());
    writeRun(writer, run, 0, 30);
    writer.close(samples::closing());
  }
  const RecordReader resumed(directory / "record.h5"), whole(directory / "whole.h5");
  expectRows(resumed.readSeries(), 300);
  EXPECT_EQ(resumed.frameTimes(), whole.frameTimes());
  for (std::size_t k = 0; k < 30; ++k) {
    EXPECT_EQ(resumed.readFrame(k).grainPosition, whole.readFrame(k).grainPosition);
    EXPECT_EQ(resumed.readFrame(k).grainSpeed, whole.readFrame(k).grainSpeed);
  }
  EXPECT_EQ(resumed.description().scenarioTexts, run.scenarioTexts);
  EXPECT_FALSE(std::filesystem::exists(directory / "record.h5.new"));
}

INSTANTIATE_TEST_SUITE_P(Modes, RecordRoundTrip,
                         ::testing::Values(LiveReading::kWherePossible, LiveReading::kOff));

TEST(RecordWriter, SaysWhenOthersCannotReadMeanwhile) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(5);
  EXPECT_EQ(RecordWriter(directory / "live.h5", run).warning(), "");
  setenv("HDF5_USE_FILE_LOCKING", "FALSE", 1);
  RecordWriter writer(directory / "plain.h5", run);
  writeRun(writer, run, 0, 3);
  unsetenv("HDF5_USE_FILE_LOCKING");
  EXPECT_NE(writer.warning().find("HDF5_USE_FILE_LOCKING"), std::string::npos);
  EXPECT_EQ(RecordReader(directory / "plain.h5").frameCount(), 3u);
}

TEST(RecordWriter, SameRunGivesTheSameBytes) {
  const TemporaryFolder directory;
  const RunDescription run = samples::description(100);
  const auto begin = std::chrono::steady_clock::now();
  for (const char* name : {"a.h5", "b.h5"}) {
    RecordWriter writer(directory / name, run);
    writeRun(writer, run, 0, 5);
    writer.close(samples::closing());
    // Times in HDF5 files are in seconds; the second file is of another one.
    std::this_thread::sleep_until(begin + std::chrono::milliseconds(1100));
  }
  EXPECT_EQ(readText(directory / "a.h5"), readText(directory / "b.h5"));
}

TEST(RecordWriter, TakesARunWithoutGrainsOrParts) {
  const TemporaryFolder directory;
  RunDescription run = samples::description(0);
  run.anchor.parts.clear();
  RecordWriter writer(directory / "record.h5", run);
  SeriesRow row = samples::row(3);
  writer.appendSeries(row);
  writer.appendFrame(samples::frame(run, 3));
  const RecordReader reader(directory / "record.h5");
  row.partForce.clear();
  ASSERT_EQ(reader.readSeries().size(), 1u);
  EXPECT_EQ(samples::difference(reader.readSeries()[0], row), "");
  EXPECT_EQ(reader.readFrame(0).grainPosition.size(), 0u);
}

TEST(RecordWriter, CarriesEveryTermOfTheLedger) {
  EnergyLedger energy;
  auto* terms = reinterpret_cast<double*>(&energy);
  double sum = 0.0;
  for (int k = 0; k < 13; ++k) sum += terms[k] = 1 << k;
  SeriesRow row;
  setEnergy(row, energy);
  double found = 0.0;
  for (const auto& column : kScalarColumns)
    if (std::string(column.name).starts_with("energy_")) found += row.*column.field;
  EXPECT_EQ(found, sum);
}

}  // namespace
}  // namespace holdground
