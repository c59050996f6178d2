#pragma once
// What an anchor file asks for, in SI units. The initial values here are the defaults of the keys.
// Anchor frame: x forward (shackle end to toe), y to port, z up; see solver/anchor/anchor.hpp.
// Checked by tests/unit/scenarios/anchor_file_test.cpp.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/pattern/scoop_pattern.hpp"
#include "scenarios/schema/reading.hpp"
#include "scenarios/schema/surface_spec.hpp"
#include "solver/anchor/anchor.hpp"

namespace holdground {

enum class AnchorType { kPlough, kClaw, kScoop, kTwinFluke, kStockless, kRollBar, kOther };

/// One closed mesh of the anchor.
struct PartSpec {
  std::string name;
  PartRole role = PartRole::kOther;
  std::filesystem::path mesh;        ///< resolved against the folder of the anchor file
  double meshUnit = 0.0;             ///< length of one unit of the mesh file [m]
  Mat3 rotation = Mat3::Identity();  ///< directions of the mesh file into the anchor frame
  Vec3 offset = Vec3::Zero();        ///< where the file's origin lies, anchor frame [m]
  double density = 7850.0;           ///< [kg/m^3]
  std::optional<double> mass;        ///< [kg]; when given, the density follows from it
  SurfaceSpec surface;
};

/// What a person measured on the real anchor; the model is adjusted to it.
struct BenchMeasurement {
  std::optional<double> mass;        ///< in air [kg]; densities are scaled to match
  std::optional<Vec3> centreOfMass;  ///< anchor frame [m]
  /// What scales under the toe read [kg] with the line from shackle to toe level and the shackle
  /// on the other support: the centre of mass lies toeReading/mass of the way to the toe.
  std::optional<double> toeReading;
};

struct AnchorSpec {
  std::string name;
  std::string note;  ///< free text; says so when the shape is invented
  AnchorType type = AnchorType::kOther;

  // One of the two: meshes a person has, or a shape drawn from its dimensions.
  std::vector<PartSpec> parts;
  std::optional<ScoopPattern> pattern;
  SurfaceSpec patternSurface;  ///< of all parts of the pattern

  // Named points, anchor frame [m]. With a pattern they follow from it and these stay zero.
  Vec3 shackle = Vec3::Zero();
  Vec3 toe = Vec3::Zero();
  Vec3 heel = Vec3::Zero();

  BenchMeasurement bench;
  SettingPose settingPose;

  Reading reading;  ///< the file, for its record and for messages
};

}  // namespace holdground
