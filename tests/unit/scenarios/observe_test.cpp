#include "scenarios/run/observe.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "scenarios/run/build_simulation.hpp"
#include "tests/support/small_pull.hpp"

namespace holdground {
namespace {

constexpr double kPullTime = 0.1;  // [s]

Simulation pulled(Anchor anchor = blockAnchor(), double azimuth = 0.0) {
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  SimulationSettings settings = smallPull(KernelKind::kFast, bed);
  settings.rode.azimuth = azimuth;
  Simulation simulation(bed, std::move(anchor), settings);
  // The line jerks: not at a moment when it is slack.
  while (simulation.time() < kPullTime || simulation.pull().horizontalLoad <= 0.0)
    simulation.advanceOneStep();
  return simulation;
}

BedSurroundings deepBed() { return {0.6, -10.0, 0.055}; }

std::uint64_t flagsOf(const Simulation& simulation, const BedSurroundings& bed) {
  return sampleRow(simulation, bed).flags;
}

}  // namespace

TEST(Observe, RowSaysWhatPullsTheAnchorAndWhereItIs) {
  const Simulation simulation = pulled();
  const SeriesRow row = sampleRow(simulation, deepBed());
  EXPECT_EQ(row.time, simulation.time());
  EXPECT_EQ(row.step, simulation.step());
  EXPECT_EQ(row.horizontalLoad, simulation.pull().horizontalLoad);
  EXPECT_GT(row.horizontalLoad, 0.0);
  EXPECT_EQ(row.load, simulation.pull().pull);
  EXPECT_EQ(row.boatEnd, simulation.pull().boatEnd);
  EXPECT_EQ(row.demand, 0.5);  // the speed of smallPull
  // The block is shackled at the middle of its forward face, 0.08 m ahead of its centre.
  const Mat3 rotation = simulation.motion().orientation.toRotationMatrix();
  const Vec3 shackle = simulation.motion().centreOfMass + rotation * Vec3(0.08, 0.0, 0.0);
  const Vec3 toe = simulation.motion().centreOfMass + rotation * Vec3(0.08, 0.0, -0.03);
  EXPECT_LT((row.shacklePosition - shackle).norm(), 1e-12);
  EXPECT_NEAR(row.shackleEmbedment, -shackle.z(), 1e-12);
  EXPECT_NEAR(row.toeEmbedment, -toe.z(), 1e-12);
  EXPECT_GT(row.drift, 0.0);
  EXPECT_EQ(row.anchorSpeed, simulation.motion().velocity.norm());
  ASSERT_EQ(row.partForce.size(), 1u);
  EXPECT_EQ(row.partForce[0], simulation.steelLoad().total.force);
  EXPECT_EQ(row.steelContacts, simulation.steelLoad().contacts);
}

TEST(Observe, RodeRisesAsTheShackleSinksBelowTheBoatEnd) {
  // The boat end stays at the height of the shackle when the pull begins; the line is 5 m long,
  // stretched by some millimetres.
  const Simulation simulation = pulled();
  const SeriesRow row = sampleRow(simulation, deepBed());
  const double sunk = row.boatEnd.z() - row.shacklePosition.z();
  ASSERT_NE(sunk, 0.0);
  EXPECT_NEAR(row.rodeElevation, std::asin(sunk / 5.0), 1e-2 * std::abs(sunk / 5.0));

  const GrainSet bed = layTiles(smallTile(), 1, 1);
  SimulationSettings settings = smallPull(KernelKind::kFast, bed);
  settings.rode.elevation = 0.2;
  EXPECT_EQ(sampleRow(Simulation(bed, blockAnchor(), settings), deepBed()).rodeElevation, 0.2);
}

TEST(Observe, RowSaysHowFarGrainsWentIntoTheSteel) {
  const Simulation simulation = pulled();
  SeriesRow row = sampleRow(simulation, deepBed());
  EXPECT_EQ(row.steelOverlapMaximum, simulation.steel().penetration().largestOverlapRatio);
  EXPECT_GE(row.steelOverlapMaximum, simulation.steelLoad().largestOverlapRatio);
  EXPECT_GT(row.steelOverlapMaximum, 0.0);
  EXPECT_EQ(row.steelPassages, 0u);
  setThroughSteel(row, {7, 100.0, 0.25});
  EXPECT_EQ(row.throughSteelPairs, 7u);
  EXPECT_EQ(row.throughSteelShare, 0.25);
}

TEST(Observe, RowCarriesEveryTermOfTheLedger) {
  const Simulation simulation = pulled();
  const SeriesRow row = sampleRow(simulation, deepBed());
  const EnergyLedger ledger = simulation.energy();
  EXPECT_EQ(row.energyKinetic, ledger.kinetic);
  EXPECT_EQ(row.energyElasticNormal, ledger.elasticNormal);
  EXPECT_EQ(row.energyElasticTangential, ledger.elasticTangential);
  EXPECT_EQ(row.energyElasticRolling, ledger.elasticRolling);
  EXPECT_EQ(row.energyPotential, ledger.potential);
  EXPECT_EQ(row.energyFriction, ledger.friction);
  EXPECT_EQ(row.energyNormalDamping, ledger.normalDamping);
  EXPECT_EQ(row.energyTangentialDamping, ledger.tangentialDamping);
  EXPECT_EQ(row.energyRolling, ledger.rolling);
  EXPECT_EQ(row.energyPlastic, ledger.plastic);
  EXPECT_EQ(row.energyWaterDrag, ledger.waterDrag);
  EXPECT_EQ(row.energyRode, ledger.rode);
  EXPECT_EQ(row.energyHistoryArtefact, ledger.historyArtefact);
  EXPECT_EQ(row.energyPrescribed, ledger.prescribed);
}

TEST(Observe, HeadingIsAgainstThePullWhateverItsDirection) {
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  Anchor anchor = blockAnchor();
  anchor.settingPose.heading = 0.3;
  for (const double azimuth : {0.0, 0.5, -3.0}) {
    SimulationSettings settings = smallPull(KernelKind::kFast, bed);
    settings.rode.azimuth = azimuth;
    EXPECT_NEAR(sampleRow(Simulation(bed, anchor, settings), deepBed()).heading, 0.3, 1e-12);
  }
}

TEST(Observe, NearSideIsRaisedWhenTheGroundAboutTheAnchorMeetsItsImage) {
  // The bed repeats after 0.5 m. The block is some 0.2 m long as it lies and has drifted 0.1 m; its
  // failure zone is twice its width.
  Anchor narrow = blockAnchor(), wide = blockAnchor();
  narrow.flukeWidth = 0.09;  // 0.2 + 0.1 + 0.18: free
  wide.flukeWidth = 0.18;    // 0.2 + 0.1 + 0.36: not
  EXPECT_EQ(flagsOf(pulled(narrow), deepBed()) & kNearSide, 0u);
  EXPECT_EQ(flagsOf(pulled(wide), deepBed()) & kNearSide, kNearSide);
}

TEST(Observe, NearSideCountsTheDriftAlongThePull) {
  Anchor anchor = blockAnchor();
  anchor.flukeWidth = 0.05;
  Simulation simulation = pulled(anchor);
  EXPECT_EQ(flagsOf(simulation, deepBed()) & kNearSide, 0u);
  // 0.2 + 0.1 m and at least 0.25 m of drift are more than 0.5 m.
  while (sampleRow(simulation, deepBed()).drift < 0.25) simulation.advanceOneStep();
  EXPECT_EQ(flagsOf(simulation, deepBed()) & kNearSide, kNearSide);
}

TEST(Observe, NearBottomIsRaisedOverThreeGrainsOrAQuarterOfTheFluke) {
  const Simulation simulation = pulled();
  double lowest = 1e300;
  for (const Vec3& vertex : simulation.anchor().parts.front().mesh.vertices)
    lowest = std::min(lowest, worldPoint(simulation.anchor(), simulation.motion(), vertex).z());
  BedSurroundings bed = deepBed();
  bed.bottom = lowest - 3.0 * bed.medianDiameter - 1e-6;
  EXPECT_EQ(flagsOf(simulation, bed) & kNearBottom, 0u);
  bed.bottom += 2e-6;
  EXPECT_EQ(flagsOf(simulation, bed) & kNearBottom, kNearBottom);
  bed.medianDiameter = 1e-3;  // now a quarter of 0.1 m decides
  bed.bottom = lowest - 0.025 - 1e-6;
  EXPECT_EQ(flagsOf(simulation, bed) & kNearBottom, 0u);
  bed.bottom += 2e-6;
  EXPECT_EQ(flagsOf(simulation, bed) & kNearBottom, kNearBottom);
}

TEST(Observe, InertialNumberIsShearRateTimesDiameterOverRootOfStressByDensity) {
  const Simulation simulation = pulled();
  const BedSurroundings bed = deepBed();
  const KernelSettings& settings = simulation.settings().bed;
  const double toe = sampleRow(simulation, bed).toeEmbedment;
  // Above or hardly below the surface one diameter of overburden counts.
  const double depth = std::max(toe, bed.medianDiameter);
  const double stress = bed.solidFraction * (2650.0 - 1025.0) * 9.80665 * depth;
  const double rate = simulation.motion().velocity.norm() / 0.10;
  EXPECT_NEAR(sampleRow(simulation, bed).inertialNumber,
              rate * bed.medianDiameter / std::sqrt(stress / settings.material.density), 1e-12);
}

TEST(Observe, SurroundingsAreThoseOfTheMovingGrains) {
  const BedSurroundings bed = surroundingsOf(smallTile(), smallRecipe());
  EXPECT_DOUBLE_EQ(bed.bottom, -smallTile().depth + 0.06);
  EXPECT_EQ(bed.solidFraction, smallTile().solidFraction);
  std::size_t smaller = 0, moving = 0;
  for (std::size_t k = 0; k < smallTile().grains.size(); ++k) {
    if (smallTile().grains.frozen[k] != 0) continue;
    ++moving;
    smaller += 2.0 * smallTile().grains.radius[k] < bed.medianDiameter ? 1u : 0u;
  }
  EXPECT_EQ(smaller, moving / 2);
}

TEST(Observe, FrameKeepsTheGrainsItIsAskedForInTheirOrder) {
  const Simulation simulation = pulled();
  const FrameData all = sampleFrame(simulation, {});
  const FrameData some = sampleFrame(simulation, {3, 40, 41, 200});
  EXPECT_EQ(all.grainPosition.size(), simulation.kernel().size());
  EXPECT_EQ(some.time, simulation.time());
  EXPECT_EQ(some.bodyPosition, simulation.motion().centreOfMass);
  EXPECT_EQ(some.boatEnd, simulation.pull().boatEnd);
  ASSERT_EQ(some.grainPosition.size(), 4u);
  const std::size_t ids[] = {3, 40, 41, 200};
  for (std::size_t k = 0; k < 4; ++k) {
    EXPECT_EQ(some.grainPosition[k], all.grainPosition[ids[k]]);
    EXPECT_EQ(some.grainSpeed[k], all.grainSpeed[ids[k]]);
  }
}

TEST(Observe, DescriptionAgreesWithFramesOfTheSameGrains) {
  const Simulation simulation = pulled();
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  TrialSpec trial;
  trial.name = "a trial";
  trial.reading = Reading({"trial.toml", "# trial"});
  trial.output.filmSpeed = 0.5;
  const RunDescription run =
      describeRun(trial, smallRecipe(), smallTile(), bed, simulation, 1, 1, 2, {5, 9});
  EXPECT_EQ(run.trialName, "a trial");
  EXPECT_EQ(run.threads, 2);
  EXPECT_EQ(run.timeStep, simulation.settings().bed.timeStep);
  EXPECT_EQ(run.filmSpeed, 0.5);
  EXPECT_EQ(run.scenarioTexts.front(), (std::pair<std::string, std::string>("trial", "# trial")));
  EXPECT_EQ(run.bed.grainCount, bed.size());
  EXPECT_EQ(run.bed.grainId, (std::vector<std::uint32_t>{5, 9}));
  EXPECT_EQ(run.bed.referencePosition, (std::vector<Vec3>{bed.position[5], bed.position[9]}));
  EXPECT_EQ(run.bed.radius, (std::vector<double>{bed.radius[5], bed.radius[9]}));
  EXPECT_EQ(run.bed.frozen.size(), 2u);
  EXPECT_EQ(run.anchor.weight, 4.0 * kStandardGravity);
  ASSERT_EQ(run.anchor.parts.size(), 1u);
  // Another mesh, another digest.
  Anchor moved = blockAnchor();
  moved.parts.front().mesh.vertices.front().x() += 1e-9;
  const RunDescription other =
      describeRun(trial, smallRecipe(), smallTile(), bed, pulled(moved), 1, 1, 2, {});
  EXPECT_NE(other.anchor.parts.front().digest, run.anchor.parts.front().digest);
  EXPECT_TRUE(other.bed.grainId.empty());
  EXPECT_EQ(other.bed.radius, bed.radius);
}

}  // namespace holdground
