#pragma once
// What the rode does to the shackle: a straight line from the boat, led either at a prescribed
// speed (the line stretches) or at a prescribed load, plus the weight of chain the shackle lifts.
// Symbols: azimuth [rad], to port positive from the x axis; elevation [rad] above the horizontal.
//   Pull direction (from shackle to boat) = (cos e cos a, cos e sin a, sin e).
// Valid for: a taut line; no bottom friction, no catenary.
// Promises: a pure function of time and of the shackle's motion; nothing to checkpoint.
// Checked by tests/unit/rode/rode_test.cpp.

#include <optional>

#include "solver/core/types.hpp"
#include "solver/rode/load_plan.hpp"

namespace holdground {

/// Elevation of a taut straight rode [rad]. @param scope length over depth [-], > 1.
double elevationFromScope(double scope);

enum class RodeMode { kPrescribedSpeed, kPrescribedLoad };

/// The boat end runs level along the azimuth; the line is slack at zero stretch.
struct SpeedControl {
  double speed = 0.4;           ///< of the boat end once under way [m/s]
  double startTime = 0.5;       ///< to reach that speed, smoothly [s]
  double lineLength = 10.0;     ///< unstretched, shackle to boat end [m]
  double lineStiffness = 20e3;  ///< tension per metre of stretch [N/m]
  double lineDamping = 0.0;     ///< tension per speed of stretch [N s/m]; never pushes
};

/// The tension follows a plan along a fixed direction, as far as winch or boat can follow.
struct LoadControl {
  LoadPlan plan;
  /// Fastest haul [m/s]: the tension falls from the plan's, at half this speed of the shackle along
  /// the line, to nothing at this speed.
  double haulSpeed = 1e300;
  double runawayDrift = 1e300;  ///< stop beyond this drift [m]
  double runawaySpeed = 1e300;  ///< stop above this horizontal speed of the anchor [m/s] ...
  double runawayTime = 0.0;     ///< ... when it has run so for this long [s]
};

struct RodeSettings {
  RodeMode mode = RodeMode::kPrescribedSpeed;
  double azimuth = 0.0;    ///< [rad]
  double elevation = 0.0;  ///< at the start of the pull [rad]
  SpeedControl speed;
  LoadControl load;
  double chainWeight = 0.0;      ///< submerged weight per metre [N/m]
  double suspendedLength = 0.0;  ///< of chain that hangs from the shackle [m]
};

struct RodePull {
  Vec3 pull = Vec3::Zero();         ///< of the line on the shackle [N]
  Vec3 chainWeight = Vec3::Zero();  ///< of the chain on the shackle [N]
  Vec3 boatEnd = Vec3::Zero();      ///< where the line leads to [m]
  double tension = 0.0;             ///< magnitude of the pull [N]
  double horizontalLoad = 0.0;      ///< horizontal part of the pull: the load of a trial [N]
  double storedEnergy = 0.0;        ///< elastic energy in the line [J]; speed mode only

  Vec3 force() const { return pull + chainWeight; }
};

class Rode {
 public:
  /// @param shackleAtStart where the shackle is when the pull begins [m].
  /// @throws InputError on values out of range.
  Rode(const RodeSettings& settings, const Vec3& shackleAtStart);

  /// @param time since the start of the pull [s]. @param shackle [m]. @param velocity of it [m/s].
  RodePull at(double time, const Vec3& shackle, const Vec3& velocity) const;

  /// Horizontal travel of the shackle along the azimuth since the start [m].
  double drift(const Vec3& shackle) const { return (shackle - start_).dot(heading_); }

  /// True when a prescribed load hauls the anchor faster than its runaway speed.
  /// @param velocity of its centre of mass [m/s]: the shackle of an anchor that tips is fast too.
  bool isRunning(const Vec3& velocity) const;

  /// True when the anchor has run away from a prescribed load: beyond the drift allowed, or running
  /// for the time allowed, or running still when the plan is over.
  /// @param since  when it began to run [s]; empty: it does not.
  bool isRunaway(double time, const Vec3& shackle, const std::optional<double>& since) const;

  /// True when the load plan is over (never in speed mode).
  bool isFinished(double time) const;

  /// Distance the boat end has run by `time` in speed mode [m].
  double boatTravel(double time) const;

  const RodeSettings& settings() const { return settings_; }
  const Vec3& heading() const { return heading_; }      ///< horizontal unit vector of the azimuth
  const Vec3& direction() const { return direction_; }  ///< unit vector of the pull at the start

 private:
  RodePull speedPull(double time, const Vec3& shackle, const Vec3& velocity) const;

  RodeSettings settings_;
  Vec3 start_;
  Vec3 heading_;
  Vec3 direction_;
};

}  // namespace holdground
