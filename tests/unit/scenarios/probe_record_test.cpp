#include "scenarios/run/probe_record.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "scenarios/run/probe_summary.hpp"
#include "tests/support/contact_meshes.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

constexpr double kStep = 1e-4;
constexpr double kRadius = 0.02;

/// A plate that is driven at 0.1 m/s into a held grain: a force that grows.
class PressedGrain : public testing::Test {
 protected:
  PressedGrain() : mesh_(test::box(Vec3(0.2, 0.2, 0.02))) {
    ProbeSettings settings;
    settings.kernel = KernelKind::kReference;
    settings.bed.timeStep = kStep;
    Ball ball;
    ball.radius = kRadius;
    ball.frozen = true;
    simulation_.emplace(sceneOf({1.0, 1.0, -1.0, 1.0}, {ball}), settings);
    ProbeBody body;
    body.parts = {{&mesh_, {0.0, 0.0}}};
    body.position = Vec3(0.0, 0.0, kRadius + 0.01);
    body.drive.axis[2] = AxisDrive::velocity(-0.1);
    simulation_->addBody(body);
    spec_.name = "pressed grain";
    spec_.bodies.resize(1);
    spec_.bodies[0].name = "plate";
    spec_.phases.resize(2);
    spec_.phases[0].name = "first";
    spec_.phases[1].name = "second";
  }
  void advance(ProbeRecord& record, int steps, std::size_t phase) {
    for (int k = 0; k < steps; ++k) {
      simulation_->advanceOneStep();
      record.add(*simulation_, phase);
      forces_.push_back(simulation_->reaction(0).force.z());
    }
  }

  TriangleMesh mesh_;
  std::optional<ProbeSimulation> simulation_;
  ProbeSpec spec_;
  std::vector<double> forces_;
};

}  // namespace

TEST_F(PressedGrain, RowsAreMeansOfTheirIntervals) {
  ProbeRecord record(1, kStep, 10 * kStep);
  advance(record, 25, 0);
  record.endInterval(*simulation_);
  ASSERT_EQ(record.rows().size(), 3u);
  double sum = 0.0;
  for (int k = 10; k < 20; ++k) sum += forces_[static_cast<std::size_t>(k)];
  ASSERT_GT(sum, 0.0);
  EXPECT_NEAR(record.rows()[1].bodies[0].reaction[2], sum / 10.0, 1e-12 * sum);
  EXPECT_DOUBLE_EQ(record.rows()[1].time, 20 * kStep);
  EXPECT_DOUBLE_EQ(record.rows()[2].duration, 5 * kStep);
  EXPECT_NEAR(record.rows()[2].bodies[0].position.z(), kRadius + 0.01 - 25 * kStep * 0.1, 1e-15);
}

TEST_F(PressedGrain, PhaseHasMeanOfAllStepsAndPercentilesOfItsRows) {
  ProbeRecord record(1, kStep, 10 * kStep);
  advance(record, 25, 0);
  record.endInterval(*simulation_);
  advance(record, 100, 1);
  record.endInterval(*simulation_);
  const ProbePhaseFigures first = record.figures(0, 0);
  double mean = 0.0;
  for (int k = 0; k < 25; ++k) mean += forces_[static_cast<std::size_t>(k)] / 25.0;
  EXPECT_NEAR(first.mean[2], mean, 1e-12 * mean);
  EXPECT_EQ(first.peak[2], record.rows()[2].bodies[0].reaction[2]);
  // Ten rows that grow: the ninth is the 90th percentile.
  const ProbePhaseFigures second = record.figures(1, 0);
  EXPECT_EQ(second.p90[2], record.rows()[3 + 8].bodies[0].reaction[2]);
  EXPECT_EQ(second.peak[2], record.rows()[3 + 9].bodies[0].reaction[2]);
  EXPECT_NEAR(second.way.z(), -0.1 * 90 * kStep, 1e-15);
}

TEST_F(PressedGrain, ABodyThatIsGoneLeavesEmptyCells) {
  ProbeRecord record(1, kStep, 10 * kStep);
  advance(record, 10, 0);
  simulation_->removeBody(0);
  simulation_->advanceOneStep();
  record.add(*simulation_, 1);
  record.endInterval(*simulation_);
  EXPECT_FALSE(record.figures(1, 0).isPresent);
  const std::string csv = probeCsv(spec_, record.rows());
  EXPECT_THAT(csv, HasSubstr("time [s],phase,plate.position_x [m]"));
  EXPECT_THAT(csv, HasSubstr("plate.torque_z [N m]\n"));
  EXPECT_THAT(csv, HasSubstr("second,,,,,,,,,\n"));
}

TEST_F(PressedGrain, SummaryHasFiguresUnitsMeaningsAndDoubts) {
  ProbeRecord record(1, kStep, 10 * kStep);
  advance(record, 25, 0);
  record.endInterval(*simulation_);
  ProbeClosing closing;
  closing.endReason = "done";
  closing.takenOut = {3};
  closing.workIn = 10.0;
  closing.residual = 0.2;
  closing.passages = 1;
  closing.overlapP99 = 0.2;
  closing.smallestWidths = 2.0;
  closing.smallestClearance = 0.01;
  closing.largestDiameter = 0.04;
  const auto json = nlohmann::json::parse(probeSummaryJson(spec_, record, closing));
  EXPECT_EQ(json["phases"][0]["bodies"]["plate"]["force_z"]["mean"], record.figures(0, 0).mean[2]);
  EXPECT_EQ(json["phases"][1]["bodies"].size(), 0u);
  EXPECT_EQ(json["units"]["torque"], "N m");
  EXPECT_EQ(json["bed"]["taken_out"]["plate"], 3);
  EXPECT_EQ(json["measures"]["energy_residual_share"]["value"], 0.02);
  EXPECT_EQ(json["doubts"].size(), 5u);
  EXPECT_THAT(probeDoubts(closing, DisplayUnits()).back(), HasSubstr("came within 0.01 m of the"));
  closing.smallestClearance = -0.3;
  EXPECT_THAT(probeDoubts(closing, DisplayUnits()).back(), HasSubstr("went 0.3 m into the held"));
  closing.untouched = {"plate"};
  closing.tooSticky = {"bar"};
  EXPECT_THAT(
      probeDoubts(closing, DisplayUnits()),
      testing::AllOf(testing::Contains(HasSubstr("plate met no grain")),
                     testing::Contains(HasSubstr("bar holds the ground by more than 0.8"))));
  closing.untouched = closing.tooSticky = {};
  closing.residual = closing.overlapP99 = 0.0;
  closing.passages = 0;
  closing.smallestWidths = closing.smallestClearance = 10.0;
  EXPECT_TRUE(probeDoubts(closing, DisplayUnits()).empty());
  EXPECT_THAT(probeResults(spec_, record, closing, DisplayUnits()), HasSubstr("first, plate"));
}

}  // namespace holdground
