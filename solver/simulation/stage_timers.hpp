#pragma once
// Wall time of each stage of the step. Only for reports: nothing the simulation computes depends on
// it.

#include <array>
#include <chrono>
#include <cstdint>

namespace holdground {

enum class Stage { kNeighbours, kSteelContacts, kRode, kGrains, kMoveAnchor, kCount };

inline constexpr std::array<const char*, static_cast<std::size_t>(Stage::kCount)> kStageNames = {
    "neighbours", "steel contacts", "rode", "grains", "move anchor"};

class StageTimers {
 public:
  /// Starts the clock of a step.
  void start() { last_ = std::chrono::steady_clock::now(); }
  /// Books the time since the last call to a stage.
  void book(Stage stage) {
    const auto now = std::chrono::steady_clock::now();
    seconds_[static_cast<std::size_t>(stage)] += std::chrono::duration<double>(now - last_).count();
    last_ = now;
  }
  double seconds(Stage stage) const { return seconds_[static_cast<std::size_t>(stage)]; }

 private:
  std::chrono::steady_clock::time_point last_;
  std::array<double, static_cast<std::size_t>(Stage::kCount)> seconds_{};
};

}  // namespace holdground
