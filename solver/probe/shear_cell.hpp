#pragma once
// A tile of bed sheared under constant normal stress between its held bottom and a lid.
//
// The tile is weightless and dry while it is sheared, so that stress is the same at all heights; it
// is periodic in the plane, so that it has no sides. The lid is a plate to which the bed's own top
// grains are glued: pressed down by sigma A, led along x. So it grips whatever the bed's grains
// grip. Stress is that of the middle half of the height, away from lid and bottom, from all
// contacts there (state/slice_state.hpp), not that on the lid.
// Rate: I = rate d sqrt(rho/sigma), d the diameter of the mean volume (da Cruz et al. 2005, from
//   memory). Strain: way of the lid over the height between the held and the glued grains.
// Frame: world. Promises: the same bits for any number of threads.
// Checked by: tests/verification/probe/shear_cell_test.cpp

#include <functional>
#include <vector>

#include "solver/probe/driven_body.hpp"
#include "solver/state/slice_state.hpp"

namespace holdground {

struct ShearCellSettings {
  GrainMaterial material;
  double timeStep = 1e-4;        ///< [s]
  double normalStress = 1000.0;  ///< [Pa]
  double packingStress = 0.0;    ///< pressed under first, where it is the greater one [Pa]
  double inertialNumber = 0.01;  ///< [-]
  double strain = 2.0;           ///< to shear to [-]
  int readings = 800;            ///< over that strain, evenly
  KernelKind kernel = KernelKind::kFast;
};

/// One look at the sheared tile.
struct ShearReading {
  double strain = 0.0;  ///< [-]
  SliceState slice;     ///< the middle half of the height
  Vec3 lidForce;        ///< of the bed on the lid, over the area of the tile [Pa]
  double height = 0.0;  ///< between the held and the glued grains [m]
};

struct ShearRecord {
  ShearCellSettings settings;
  double meanDiameter = 0.0;  ///< of the mean volume [m]
  double rate = 0.0;          ///< way of the lid a second over the height at the start [1/s]
  ShearReading pressed;       ///< under the lid, before shearing
  std::vector<ShearReading> readings;
};

/// Share of the work done, 0 to 1, and grain-steps so far. Called now and then.
using ProbeProgress = std::function<void(double share, std::uint64_t grainSteps)>;

/// @param tile  settled, some held grains at the bottom. InputError when it is too thin to shear.
ShearRecord shearTile(const GrainSet& tile, const ShearCellSettings& settings,
                      const ProbeProgress& progress = {});

/// Diameter of the mean volume of a set's grains, a stone being one; held spheres beside stones do
/// not count [m]. @param density of the solid [kg/m^3]
double meanVolumeDiameter(const GrainSet& grains, double density);

}  // namespace holdground
