#include "scenarios/calibrate/calibration_report.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "scenarios/schema/bed_file.hpp"
#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

class CalibrationReport : public testing::Test {
 protected:
  CalibrationReport() {
    folder_.writeBed(std::string(kBedText) +
                     "[target]   # of a survey\nfriction_angle = \"30 deg\"\n"
                     "strength = \"3 kPa\"\nstrength_depth = \"0.3 m\"\n");
    bed_ = readBedFile(folder_.bed());
    calibration_.found = parametersOf(bed_);
    calibration_.found.rollingFriction = 0.234;
    calibration_.found.pullOffStress = 27.5e3;
    calibration_.targets = {{Figure::kFrictionAngle, kPi / 6.0, {kPi / 6.0 + 0.01, 0.005}},
                            {Figure::kStrength, 3000.0, {2960.0, 40.0}}};
    calibration_.variants = {{"twice the stiffness", {{kPi / 6.0, 0.004}, {3200.0, 40.0}}},
                             {"finer grains", {}}};
    calibration_.measured = 9;
    calibration_.remembered = 2;
  }
  ScenarioFolder folder_;
  BedRecipe bed_;
  Calibration calibration_;
};

TEST_F(CalibrationReport, FileIsTheOldOneWithWhatWasFound) {
  const std::string text = calibratedFile(bed_, calibration_);
  folder_.writeBed(text);
  const BedRecipe read = readBedFile(folder_.bed());
  EXPECT_EQ(parametersOf(read), calibration_.found);
  EXPECT_DOUBLE_EQ(*read.strength, 2960.0);  // as measured, for the steel's adhesion
  EXPECT_EQ(read.target.frictionAngle, bed_.target.frictionAngle);
  EXPECT_THAT(text, HasSubstr("[target]   # of a survey"));
  EXPECT_THAT(text, HasSubstr("# Calibrated: to friction_angle 30 deg (measured 30.57 deg +-0.29 "
                              "deg), strength 3 kPa at 0.3 m (measured 2.96 kPa +-0.04 kPa)\n"));
  EXPECT_THAT(text, HasSubstr("# Calibrated: valid only for grains of 36 to 44 mm, a modulus of "));
  EXPECT_THAT(text,
              HasSubstr("# Calibrated: with twice the stiffness: friction_angle 30 deg +-0.23 "
                        "deg, strength 3.2 kPa +-0.04 kPa (changed)\n"));
}

TEST_F(CalibrationReport, SaysResidualsTrialsAndKeys) {
  const std::string text = calibrationText(bed_, calibration_);
  EXPECT_THAT(text, HasSubstr("strength at 0.3 m"));
  EXPECT_THAT(text, HasSubstr("3 kPa wanted, 2.96 kPa +-0.04 kPa measured, off by -0.04 kPa"));
  EXPECT_THAT(text, HasSubstr("9 measured, 2 remembered"));
  EXPECT_THAT(text, HasSubstr("  rolling_friction = 0.234\n"));
  EXPECT_THAT(text, HasSubstr("  pull_off_stress = \"27.5 kPa\"\n"));
  EXPECT_THAT(text, testing::Not(HasSubstr("density =")));
  const auto json = calibrationJson(bed_, calibration_);
  EXPECT_EQ(json["targets"][1]["residual"], -40.0);
  EXPECT_EQ(json["targets"][1]["met"], true);   // 2.5 % of 3 kPa are 75 Pa
  EXPECT_EQ(json["targets"][0]["met"], false);  // 30.57 of 30 deg, half a degree allowed
  EXPECT_THAT(text, HasSubstr(": missed, 0.5 deg was aimed at"));
  EXPECT_EQ(json["targets"][1]["unit"], "Pa");
  EXPECT_EQ(json["grains"]["rolling_friction"], 0.234);
  EXPECT_THAT(text, HasSubstr("with twice the stiffness    friction_angle 30 deg +-0.23 deg, "
                              "strength 3.2 kPa +-0.04 kPa (changed)\n"));
  EXPECT_THAT(text, HasSubstr("with finer grains           not measured\n"));
  EXPECT_EQ(json["variants"][0]["figures"][0]["steady"], true);
  EXPECT_EQ(json["variants"][0]["figures"][1]["steady"], false);
  EXPECT_EQ(json["variants"][1]["figures"].size(), 0u);
  EXPECT_EQ(json["valid_for"]["largest_diameter_m"], 0.044);
}

TEST_F(CalibrationReport, TargetsAreReadInTheUnitsAskedFor) {
  const std::string text = calibrationText(bed_, calibration_, DisplayUnits::parse("us"));
  // 0.3 m = 11.81 in, 3 kPa = 0.4351 psi, 2.96 = 0.4293, 0.04 = 0.0058 (NIST SP 811).
  EXPECT_THAT(text, HasSubstr("strength at 11.81 in"));
  EXPECT_THAT(text, HasSubstr("0.4351 psi wanted, 0.4293 psi +-0.0058 psi measured"));
}

}  // namespace
}  // namespace holdground
