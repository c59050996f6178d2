#include "scenarios/calibrate/rewrite_bed.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

const std::string kText = R"(# A bed; friction = 7 in a comment stays.

name = "käse"                     # not ASCII
strength = "2.1 kPa"              # from its card

[grains]
diameter = "40 mm"                # one size
friction = 0.5                    # grain on grain
pull_off_stress = "20 kPa"

# [grains] friction = 9
[settling]
friction = 0.1                    # another friction
)";

std::string rewrite(const std::string& text, const std::vector<KeyChange>& changes,
                    const std::vector<std::string>& notes = {}) {
  return rewritten({"bed.toml", text}, changes, notes);
}

TEST(RewriteBed, ReplacesValuesAndKeepsAllElse) {
  std::string expected = replaced(kText, "friction = 0.5 ", "friction = 0.35 ");
  expected = replaced(expected, "\"20 kPa\"", "\"27.5 kPa\"");
  expected = replaced(expected, "\"2.1 kPa\"", "\"3 kPa\"");
  EXPECT_EQ(rewrite(kText, {{"grains", "friction", "0.35"},
                            {"", "strength", "\"3 kPa\""},
                            {"grains", "pull_off_stress", "\"27.5 kPa\""}}),
            expected);
  EXPECT_EQ(rewrite(kText, {}), kText);
}

TEST(RewriteBed, PutsAMissingKeyBeforeTheFirstOfItsTable) {
  EXPECT_EQ(rewrite(kText, {{"grains", "rolling_friction", "0.2"}}),
            replaced(kText, "diameter =", "rolling_friction = 0.2\ndiameter ="));
  EXPECT_EQ(rewrite("name = \"x\"\ngrains.diameter = \"1 m\"\n", {{"grains", "friction", "0.2"}}),
            "name = \"x\"\ngrains.friction = 0.2\ngrains.diameter = \"1 m\"\n");
  EXPECT_EQ(rewrite("grains = { diameter = \"1 m\", friction = 1 }", {{"grains", "density", "2"}}),
            "grains = { density = 2, diameter = \"1 m\", friction = 1 }");
  EXPECT_EQ(rewrite("grains = { diameter = \"1 m\", friction = 1 }", {{"grains", "friction", "2"}}),
            "grains = { diameter = \"1 m\", friction = 2 }");
}

TEST(RewriteBed, NotesStandOnTopAndReplaceThoseOfAnEarlierCall) {
  const std::string once = rewrite(kText, {}, {"to 30 deg", "valid for 40 mm"});
  EXPECT_EQ(once, "# Calibrated: to 30 deg\n# Calibrated: valid for 40 mm\n" + kText);
  EXPECT_EQ(rewrite(once, {{"grains", "friction", "0.3"}}, {"to 32 deg"}),
            "# Calibrated: to 32 deg\n" + replaced(kText, "friction = 0.5 ", "friction = 0.3 "));
}

TEST(RewriteBed, NotesBelowACommentGoTooAndAByteOrderMark) {
  const std::string mine = "# mine\n";
  EXPECT_EQ(
      rewrite(mine + "# Calibrated: to 30 deg\n" + kText, {{"grains", "friction", "0.3"}},
              {"to 32 deg"}),
      "# Calibrated: to 32 deg\n" + mine + replaced(kText, "friction = 0.5 ", "friction = 0.3 "));
  EXPECT_EQ(rewrite("\xEF\xBB\xBF" + kText, {{"grains", "friction", "0.3"}}, {"to 32 deg"}),
            "# Calibrated: to 32 deg\n" + replaced(kText, "friction = 0.5 ", "friction = 0.3 "));
}

TEST(RewriteBed, SaysWhatToWriteByHandWhereThereIsNoTable) {
  EXPECT_EQ(inputFault([] {
              rewrite("name = \"x\"\n", {{"grains", "friction", "0.2"}});
            }),
            "bed.toml: grains.friction: cannot be written there; write it by hand: friction = 0.2");
}

}  // namespace
}  // namespace holdground
