#pragma once
// What a record says about the run as a whole: at its start and at its end.

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "solver/core/types.hpp"
#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

enum class LoadMode { kPrescribedSpeed, kPrescribedLoad };

/// Why a run ended that the model could not go on with.
inline constexpr const char* kEndedByLoss = "grains or anchor flew apart";

struct PartDescription {
  std::string name;
  TriangleMesh mesh;      ///< anchor frame [m]
  std::string digest;     ///< of the mesh file's bytes, hexadecimal
  double density = 0.0;   ///< [kg/m^3]
  double friction = 0.0;  ///< grain on steel [-]
};

struct AnchorDescription {
  std::string name;
  std::vector<PartDescription> parts;
  double mass = 0.0;                 ///< in air [kg]
  double weight = 0.0;               ///< in air [N]
  double length = 0.0;               ///< overall [m]
  double flukeWidth = 0.0;           ///< [m]
  Vec3 centreOfMass = Vec3::Zero();  ///< anchor frame [m]
  Vec3 shackle = Vec3::Zero();       ///< anchor frame [m]
  Vec3 toe = Vec3::Zero();           ///< anchor frame [m]
  Vec3 heel = Vec3::Zero();          ///< anchor frame [m]
};

struct BedDescription {
  std::string name;
  std::string hash;          ///< of the recipe the tile was settled from
  std::string card;          ///< what is known of the bed, in words
  double lengthX = 1.0;      ///< periodic domain [m]
  double lengthY = 1.0;      ///< periodic domain [m]
  double floorZ = -1.0;      ///< [m]
  double ceilingZ = 1.0;     ///< [m]
  double tileLengthX = 1.0;  ///< [m]
  double tileLengthY = 1.0;  ///< [m]
  int tilesX = 1;
  int tilesY = 1;
  double grainDensity = 0.0;            ///< of the solid [kg/m^3]
  double youngModulus = 0.0;            ///< softened, of the contact law [Pa]
  double poissonRatio = 0.0;            ///< [-]
  double friction = 0.0;                ///< grain on grain [-]
  double rollingFriction = 0.0;         ///< [-]
  double restitutionCoefficient = 0.0;  ///< [-]
  double steelSetback = 0.0;            ///< toward steel, as a share of a grain's diameter [-]
  double waterDensity = 0.0;            ///< 0: dry [kg/m^3]
  std::uint64_t grainCount = 0;         ///< of the whole bed
  // Grains whose places the frames carry, at the reference; world frame. All or a region.
  std::vector<std::uint32_t> grainId;   ///< in the bed; empty: all, in order of their ids
  std::vector<Vec3> referencePosition;  ///< [m]
  std::vector<double> radius;           ///< [m]
  std::vector<std::uint8_t> frozen;     ///< 1: held in place
  std::vector<std::uint8_t> layer;      ///< of a stack, from the top; empty: all of layer 0
};

struct RunDescription {
  std::string programVersion;
  std::string buildFlags;
  std::string trialName;
  LoadMode loadMode = LoadMode::kPrescribedSpeed;
  std::string kernel;  ///< "fast" or "reference"
  int threads = 1;
  std::vector<std::uint64_t> seeds;
  double timeStep = 0.0;              ///< [s]
  double sampleInterval = 0.0;        ///< of the series [s]
  double frameInterval = 0.0;         ///< [s]
  double filmSpeed = 1.0;             ///< wished for films, over real time [-]
  double gravity = kStandardGravity;  ///< [m/s^2]
  // When a load counts as held: kept this long with less than this drift.
  double holdDuration = 30.0;       ///< of trial time [s]
  double holdDriftInLengths = 0.1;  ///< over the overall length of the anchor [-]
  /// Scenario files as they were read: ("trial", text), ("bed", text), ("anchor", text).
  std::vector<std::pair<std::string, std::string>> scenarioTexts;
  std::vector<std::string> papers;    ///< sources of the laws used
  std::vector<std::string> cautions;  ///< what the reader must not conclude
  AnchorDescription anchor;
  BedDescription bed;
};

struct StageTime {
  std::string name;
  double seconds = 0.0;
  std::uint64_t calls = 0;
};

/// Written once, when the run ends in an orderly way.
struct RunClosing {
  std::string endReason;        ///< why it stopped, in words
  std::uint64_t stateHash = 0;  ///< of all grains and the anchor
  std::uint64_t steps = 0;
  double simulatedTime = 0.0;  ///< [s]
  double wallTime = 0.0;       ///< [s]
  std::vector<StageTime> stages;
  std::string log;  ///< end-of-run log, UTF-8
};

}  // namespace holdground
