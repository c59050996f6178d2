#pragma once
// Some 850 grains between a held corrugated floor and a corrugated lid under a force: a shear cell
// without sides.

#include "solver/probe/probe_simulation.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

/// The small bed's grains, water and step.
ProbeSettings smallProbe(KernelKind kind);

/// Runs on for `time` [s].
void run(ProbeSimulation& probe, double time);

/// A level rectangle at z = 0 that is touched from below.
TriangleMesh sheetFacingDown(double sizeX, double sizeY, int columns, int rows);

/// Pressed down by `force` [N] and led along x at `speed` [m/s].
BodyDrive pressed(double force, double damping, double speed = 0.0);

class LidOverBed {
 public:
  static constexpr double kTile = 0.6;                     ///< along and across [m]
  static constexpr double kLoad = 5000.0 * kTile * kTile;  ///< 5 kPa [N]
  static constexpr double kMass = 50.0;                    ///< two layers of grains [kg]
  static constexpr double kDamping = 1e3;                  ///< [N s/m]
  static constexpr std::size_t kFloor = 0, kLid = 1;

  /// The lid hangs over loose grains and comes down at once: it lies on them 0.6 s later.
  explicit LidOverBed(KernelKind kind);
  /// Turns to the usual damping and drags the lid, from rest to `speed` in 0.1 s, without a knock.
  void beginShearing(double speed);

  ProbeSimulation& probe() { return probe_; }
  Vec3 grainMomentum() const;  ///< [kg m/s]
  double grainWeight() const;  ///< under water [N]

 private:
  ProbeSimulation probe_;
};

}  // namespace holdground
