#pragma once
// What a probe file asks for, in SI units. The initial values here are the defaults of the keys.
// Checked by tests/unit/scenarios/probe_file_test.cpp.

#include <array>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/reading.hpp"
#include "scenarios/schema/surface_spec.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

enum class ProbeShape { kMesh, kPlate, kBar, kSphere, kCone, kVane, kBox, kTube };

/// A body before the run. Body frame: axes of the world where no angle is given, origin at the
/// pivot, which is the middle of a drawn shape (the tip of a cone) or the origin of a mesh file.
struct ProbeBodySpec {
  std::string name;
  ProbeShape shape = ProbeShape::kMesh;
  std::filesystem::path mesh;  ///< of shape mesh; resolved against the folder of the file
  double meshUnit = 0.0;       ///< length of one unit of the mesh file [m]
  double length = 0.0;         ///< along x, of a bar along y [m]
  double width = 0.0;          ///< along y [m]
  double height = 0.0;         ///< along z [m]
  double thickness = 0.0;      ///< of a plate along z; of blades and walls [m]
  double diameter = 0.0;       ///< [m]
  SurfaceSpec surface;
  double mass = 0.0;                 ///< for motion under a force [kg]
  double damping = 0.0;              ///< of motion under a force [N s/m]
  Vec3 position = Vec3::Zero();      ///< of the pivot at the start, world [m]
  Mat3 rotation = Mat3::Identity();  ///< body frame into world
};

/// What changes for one body in a phase. Empty: stays as it was.
struct ProbeMoveSpec {
  std::string body;
  std::array<std::optional<double>, 3> velocity;  ///< along x, y, z [m/s]
  std::array<std::optional<double>, 3> force;     ///< along x, y, z [N]
  std::array<std::optional<double>, 3> spin;      ///< about x, y, z [rad/s]
  bool remove = false;                            ///< taken away as the phase begins
};

struct ProbePhaseSpec {
  std::string name;
  double duration = 0.0;  ///< [s]
  double ramp = 0.05;     ///< in which velocities and forces change, smoothly [s]
  std::vector<ProbeMoveSpec> moves;
};

struct ProbeSpec {
  std::string name;
  std::string note;
  std::uint64_t seed = 1;          ///< of the bed's packing
  std::optional<int> copiesX = 1;  ///< of the tile
  std::optional<int> copiesY = 1;
  std::vector<ProbeBodySpec> bodies;
  std::vector<ProbePhaseSpec> phases;
  double seriesInterval = 0.005;  ///< of simulated time, over which a row is averaged [s]
  KernelKind kernel = KernelKind::kFast;
  double rayleighFraction = 0.2;  ///< time step over the Rayleigh time of the smallest grain [-]
  BedRecipe bed;
  Reading reading;  ///< the file, for messages

  double duration() const {
    double sum = 0.0;
    for (const ProbePhaseSpec& phase : phases) sum += phase.duration;
    return sum;
  }
};

}  // namespace holdground
