#pragma once
// What earlier trials measured: parameters -> figures, kept beside the tiles, so that no run is
// repeated and the next calibration starts from the best.
// Checked by: tests/unit/scenarios/trial_book_test.cpp

#include <filesystem>
#include <map>
#include <string>

#include "scenarios/calibrate/contact_parameters.hpp"
#include "solver/probe/strength.hpp"

namespace holdground {

/// Figures by name; a name says all that the figure depends on but the parameters ("strength at
/// 1700 Pa").
using Figures = std::map<std::string, Estimate>;

class TrialBook {
 public:
  /// @param file  one for all trials that differ in their parameters only; a damaged or missing
  ///   file is an empty book.
  explicit TrialBook(std::filesystem::path file);

  /// The figures of these parameters; empty when they were never tried.
  Figures find(const ContactParameters& parameters) const;
  const std::map<ContactParameters, Figures>& trials() const { return trials_; }

  /// Adds figures to those of these parameters, and writes the file.
  void keep(const ContactParameters& parameters, const Figures& figures);

 private:
  std::filesystem::path file_;
  std::map<ContactParameters, Figures> trials_;
};

}  // namespace holdground
