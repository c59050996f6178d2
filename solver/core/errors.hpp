#pragma once
// The kinds of failure that leave a library as exceptions; main catches both once.
// Broken invariants are not exceptions: they are asserted.

#include <stdexcept>
#include <string>

namespace holdground {

/// What the user gave cannot be used. The text is one line: where, what was found, what is allowed.
class InputError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// The machine or a file system failed us (disk full, no permission, no memory).
class SystemError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// The simulation left what it can describe (a grain lost, a value not finite): which grain, where,
/// when.
class SimulationError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace holdground
