#pragma once
// What drives each body of a probe at each time: the phases of its file, joined smoothly.
//
// A phase goes over from what is to what it asks for by s^2 (3 - 2 s) of its ramp. An axis that
// begins to be pushed begins with the force that balances the reaction it has, and one that begins
// to be led begins with the velocity it has, so that neither knocks.
// Checked by: tests/unit/scenarios/probe_schedule_test.cpp

#include <vector>

#include "scenarios/schema/probe_spec.hpp"
#include "solver/probe/probe_simulation.hpp"

namespace holdground {

class ProbeSchedule {
 public:
  explicit ProbeSchedule(const ProbeSpec& spec);

  /// Before each step: begins phases when they are due and sets all drives.
  void apply(ProbeSimulation& simulation);

  /// The phase a time belongs to; the last one when it is over.
  std::size_t phaseAt(double time) const;
  double beginOf(std::size_t phase) const { return begins_[phase]; }
  double endOf(std::size_t phase) const { return begins_[phase + 1]; }
  bool isOver(double time) const { return time >= begins_.back(); }

 private:
  struct Axis {
    AxisDrive::Kind kind = AxisDrive::Kind::kVelocity;
    double from = 0.0, to = 0.0;  ///< [m/s] or [N]
  };
  struct Motion {
    std::array<Axis, 3> axis;
    Vec3 spinFrom = Vec3::Zero(), spinTo = Vec3::Zero();  ///< [rad/s]
  };
  void begin(std::size_t phase, ProbeSimulation& simulation);
  std::size_t indexOf(const std::string& body) const;

  const ProbeSpec& spec_;
  std::vector<double> begins_;  ///< of each phase; one more at the end [s]
  std::size_t next_ = 0;        ///< phase that has not begun
  std::vector<Motion> motions_;
};

}  // namespace holdground
