#pragma once
// One sample of a run, and the table of the columns it is stored in under /series.
//
// To add a column: a field in SeriesRow and a line in one of the tables. Writer, reader, CSV and
// documentation follow from the tables.

#include <array>
#include <cstdint>
#include <vector>

#include "solver/core/types.hpp"

namespace holdground {

struct SeriesRow {
  // Times.
  double time = 0.0;
  double trialTime = 0.0;
  // Load and attitude.
  double horizontalLoad = 0.0;
  double demand = 0.0;
  double drift = 0.0;
  double toeEmbedment = 0.0;
  double heelEmbedment = 0.0;
  double shackleEmbedment = 0.0;
  double pitch = 0.0;
  double list = 0.0;
  double heading = 0.0;
  double anchorSpeed = 0.0;
  double buriedShare = 0.0;
  double rodeElevation = 0.0;
  // Energy, terms as in the ledger.
  double energyKinetic = 0.0;
  double energyElasticNormal = 0.0;
  double energyElasticTangential = 0.0;
  double energyElasticRolling = 0.0;
  double energyPotential = 0.0;
  double energyFriction = 0.0;
  double energyNormalDamping = 0.0;
  double energyTangentialDamping = 0.0;
  double energyRolling = 0.0;
  double energyPlastic = 0.0;
  double energyWaterDrag = 0.0;
  double energyRode = 0.0;
  double energyHistoryArtefact = 0.0;
  double energyPrescribed = 0.0;
  // State of the bed.
  double overlapMedian = 0.0;
  double overlapP99 = 0.0;
  double overlapMaximum = 0.0;
  double inertialNumber = 0.0;
  double steelOverlapMaximum = 0.0;
  double throughSteelShare = 0.0;
  // Vectors.
  Vec3 load = Vec3::Zero();
  Vec3 shacklePosition = Vec3::Zero();
  Vec3 centreOfMass = Vec3::Zero();
  Vec3 velocity = Vec3::Zero();
  Vec3 boatEnd = Vec3::Zero();
  Quat orientation = Quat::Identity();
  // Counts and flags.
  std::uint64_t step = 0;
  std::uint64_t steelContacts = 0;
  std::uint64_t grainContacts = 0;
  std::uint64_t steelPassages = 0;
  std::uint64_t throughSteelPairs = 0;
  std::uint64_t flags = 0;  ///< sum of SeriesFlag
  // Force of the grains on each part of the anchor, world frame [N]; empty or one per part.
  std::vector<Vec3> partForce;
};

enum SeriesFlag : std::uint64_t {
  kNearSide = 1,    ///< the bed repeats: the anchor's ground met ploughed ground or its own image
  kNearBottom = 2,  ///< the anchor came near the frozen bottom layer
};

enum class ColumnFrame { kNone, kWorld };

template <class Value>
struct SeriesColumn {
  const char* name;         ///< dataset under /series, and head of the CSV column
  const char* unit;         ///< SI
  ColumnFrame frame;        ///< frame its components are in
  const char* description;  ///< one sentence
  Value SeriesRow::*field;
};

inline constexpr std::array kScalarColumns = {
    SeriesColumn<double>{"time", "s", ColumnFrame::kNone, "simulated time since the pull began",
                         &SeriesRow::time},
    SeriesColumn<double>{"trial_time", "s", ColumnFrame::kNone,
                         "time of the trial as a tester counts it; equals time unless holds are "
                         "compressed",
                         &SeriesRow::trialTime},
    SeriesColumn<double>{"horizontal_load", "N", ColumnFrame::kWorld,
                         "horizontal part of the rode's pull at the shackle, positive toward the "
                         "boat",
                         &SeriesRow::horizontalLoad},
    SeriesColumn<double>{"demand", "N or m/s", ColumnFrame::kNone,
                         "what the schedule asks for at this moment: a load or a speed",
                         &SeriesRow::demand},
    SeriesColumn<double>{"drift", "m", ColumnFrame::kWorld,
                         "way of the shackle along the pull since the pull began",
                         &SeriesRow::drift},
    SeriesColumn<double>{"toe_embedment", "m", ColumnFrame::kWorld,
                         "depth of the toe below z = 0, positive down", &SeriesRow::toeEmbedment},
    SeriesColumn<double>{"heel_embedment", "m", ColumnFrame::kWorld,
                         "depth of the heel below z = 0, positive down", &SeriesRow::heelEmbedment},
    SeriesColumn<double>{"shackle_embedment", "m", ColumnFrame::kWorld,
                         "depth of the shackle below z = 0, positive down",
                         &SeriesRow::shackleEmbedment},
    SeriesColumn<double>{"pitch", "rad", ColumnFrame::kWorld, "toe below heel is positive",
                         &SeriesRow::pitch},
    SeriesColumn<double>{"list", "rad", ColumnFrame::kWorld, "starboard side down is positive",
                         &SeriesRow::list},
    SeriesColumn<double>{"heading", "rad", ColumnFrame::kWorld,
                         "toe to port of the pull is positive; against the direction of the pull",
                         &SeriesRow::heading},
    SeriesColumn<double>{"anchor_speed", "m/s", ColumnFrame::kWorld,
                         "speed of the anchor's centre of mass", &SeriesRow::anchorSpeed},
    SeriesColumn<double>{"buried_share", "1", ColumnFrame::kNone,
                         "share of the fluke's surface below z = 0", &SeriesRow::buriedShare},
    SeriesColumn<double>{"rode_elevation", "rad", ColumnFrame::kWorld,
                         "rise of the rode at the shackle above the horizontal",
                         &SeriesRow::rodeElevation},
    SeriesColumn<double>{"energy_kinetic", "J", ColumnFrame::kNone, "grains and anchor",
                         &SeriesRow::energyKinetic},
    SeriesColumn<double>{"energy_elastic_normal", "J", ColumnFrame::kNone,
                         "stored in normal contact", &SeriesRow::energyElasticNormal},
    SeriesColumn<double>{"energy_elastic_tangential", "J", ColumnFrame::kNone,
                         "stored in tangential contact", &SeriesRow::energyElasticTangential},
    SeriesColumn<double>{"energy_elastic_rolling", "J", ColumnFrame::kNone,
                         "stored in rolling resistance", &SeriesRow::energyElasticRolling},
    SeriesColumn<double>{"energy_potential", "J", ColumnFrame::kNone,
                         "gravity less buoyancy, relative to the start",
                         &SeriesRow::energyPotential},
    SeriesColumn<double>{"energy_friction", "J", ColumnFrame::kNone,
                         "lost to sliding since the start", &SeriesRow::energyFriction},
    SeriesColumn<double>{"energy_normal_damping", "J", ColumnFrame::kNone,
                         "lost to normal damping since the start", &SeriesRow::energyNormalDamping},
    SeriesColumn<double>{"energy_tangential_damping", "J", ColumnFrame::kNone,
                         "lost to tangential damping since the start",
                         &SeriesRow::energyTangentialDamping},
    SeriesColumn<double>{"energy_rolling", "J", ColumnFrame::kNone,
                         "lost to rolling resistance since the start", &SeriesRow::energyRolling},
    SeriesColumn<double>{"energy_plastic", "J", ColumnFrame::kNone,
                         "lost to dents in cohesive contacts since the start",
                         &SeriesRow::energyPlastic},
    SeriesColumn<double>{"energy_water_drag", "J", ColumnFrame::kNone,
                         "lost to the water since the start", &SeriesRow::energyWaterDrag},
    SeriesColumn<double>{"energy_rode", "J", ColumnFrame::kNone,
                         "work done by the rode on the anchor since the start (in)",
                         &SeriesRow::energyRode},
    SeriesColumn<double>{"energy_history_artefact", "J", ColumnFrame::kNone,
                         "lost (+) or made (-) by the rule that rescales tangential springs",
                         &SeriesRow::energyHistoryArtefact},
    SeriesColumn<double>{"energy_prescribed", "J", ColumnFrame::kNone,
                         "work done by bodies with prescribed motion since the start (in)",
                         &SeriesRow::energyPrescribed},
    SeriesColumn<double>{"overlap_p50", "1", ColumnFrame::kNone,
                         "median over touching pairs of overlap over the smaller diameter",
                         &SeriesRow::overlapMedian},
    SeriesColumn<double>{"overlap_p99", "1", ColumnFrame::kNone,
                         "99th percentile of overlap over the smaller diameter",
                         &SeriesRow::overlapP99},
    SeriesColumn<double>{"overlap_max", "1", ColumnFrame::kNone,
                         "largest overlap over the smaller diameter", &SeriesRow::overlapMaximum},
    SeriesColumn<double>{"inertial_number", "1", ColumnFrame::kNone,
                         "shear rate times grain diameter over the square root of stress over "
                         "grain density, near the anchor",
                         &SeriesRow::inertialNumber},
    SeriesColumn<double>{"steel_overlap_max", "1", ColumnFrame::kNone,
                         "largest overlap of a grain with steel over its diameter, so far",
                         &SeriesRow::steelOverlapMaximum},
    SeriesColumn<double>{"through_steel_share", "1", ColumnFrame::kNone,
                         "sum of the elastic normal forces of grains that touch through steel over "
                         "that of the normal forces on steel",
                         &SeriesRow::throughSteelShare},
};

inline constexpr std::array kVectorColumns = {
    SeriesColumn<Vec3>{"load", "N", ColumnFrame::kWorld, "pull of the rode on the shackle",
                       &SeriesRow::load},
    SeriesColumn<Vec3>{"shackle_position", "m", ColumnFrame::kWorld,
                       "the shackle, never wrapped into the domain", &SeriesRow::shacklePosition},
    SeriesColumn<Vec3>{"centre_of_mass", "m", ColumnFrame::kWorld,
                       "centre of mass of the anchor, never wrapped into the domain",
                       &SeriesRow::centreOfMass},
    SeriesColumn<Vec3>{"velocity", "m/s", ColumnFrame::kWorld,
                       "velocity of the centre of mass of the anchor", &SeriesRow::velocity},
    SeriesColumn<Vec3>{"boat_end", "m", ColumnFrame::kWorld, "the end of the line at the boat",
                       &SeriesRow::boatEnd},
};

inline constexpr std::array kCountColumns = {
    SeriesColumn<std::uint64_t>{"step", "1", ColumnFrame::kNone, "steps since the pull began",
                                &SeriesRow::step},
    SeriesColumn<std::uint64_t>{"steel_contacts", "1", ColumnFrame::kNone,
                                "contacts of grains on steel", &SeriesRow::steelContacts},
    SeriesColumn<std::uint64_t>{"grain_contacts", "1", ColumnFrame::kNone,
                                "contacts of grains on grains", &SeriesRow::grainContacts},
    SeriesColumn<std::uint64_t>{"steel_passages", "1", ColumnFrame::kNone,
                                "grains whose centre passed through the steel's surface, so far",
                                &SeriesRow::steelPassages},
    SeriesColumn<std::uint64_t>{"through_steel_pairs", "1", ColumnFrame::kNone,
                                "touching grains whose line of centres crosses steel",
                                &SeriesRow::throughSteelPairs},
    SeriesColumn<std::uint64_t>{"flags", "1", ColumnFrame::kNone,
                                "sum of 1: near used ground or its own image, 2: near the bottom",
                                &SeriesRow::flags},
};

namespace format {
/// Columns outside the tables: [n,4] as w, x, y, z, and [n,P,3].
inline constexpr const char* kOrientation = "orientation";
inline constexpr const char* kPartForce = "part_force";
}  // namespace format

}  // namespace holdground
