#include "scenarios/schema/schema.hpp"

#include <gtest/gtest.h>

namespace holdground {
namespace {

enum class Colour { kRed, kGreen };

/// One key of every kind.
struct Fields {
  std::string name;
  double length = 0.5;
  std::optional<double> force;
  std::optional<double> scope;
  Vec3 point{1.0, 0.0, -0.25};
  std::optional<Vec3> centre;
  std::vector<double> loads;
  std::uint64_t seed = 3;
  std::optional<int> copies;
  Colour colour = Colour::kGreen;
};

class Schema : public testing::Test {
 protected:
  Fields fields_;
  TableSchema table_{"table", "For tests."};
};

}  // namespace

TEST_F(Schema, DefaultIsWhatTheFieldHeldBeforehand) {
  EXPECT_EQ(defaultText(table_.text("name", fields_.name, "")), "");
  EXPECT_EQ(defaultText(table_.quantity("length", fields_.length, Dimension::kLength, "")),
            "0.5 m");
  EXPECT_EQ(defaultText(table_.point("point", fields_.point, "")),
            "[\"1 m\", \"0 m\", \"-0.25 m\"]");
  EXPECT_EQ(defaultText(table_.wholeNumber("seed", fields_.seed, "")), "3");
  EXPECT_EQ(defaultText(table_.count("copies", fields_.copies, "")), "auto");
  EXPECT_EQ(defaultText(table_.choice<Colour>(
                "colour", fields_.colour, {{"red", Colour::kRed}, {"green", Colour::kGreen}}, "")),
            "green");
  fields_.name = "nobody";
  fields_.copies = 2;
  EXPECT_EQ(defaultText(table_.keys.front()), "nobody");
  EXPECT_EQ(defaultText(table_.count("copies", fields_.copies, "")), "2");
}

TEST_F(Schema, DefaultIsShownInTheUnitAskedFor) {
  Key& key = table_.quantity("length", fields_.length, Dimension::kLength, "").shownIn("mm");
  EXPECT_EQ(defaultText(key), "500 mm");
}

TEST_F(Schema, OptionalKeyDefaultsToItsWordOrToWhatAbsenceMeans) {
  EXPECT_EQ(defaultText(table_.quantity("force", fields_.force, Dimension::kForce, "", "auto")),
            "auto");
  EXPECT_EQ(defaultText(table_.scope("scope", fields_.scope, "").otherwise("as it says")),
            "as it says");
  EXPECT_EQ(defaultText(table_.point("centre", fields_.centre, "")), "");
  fields_.force = 2.0;
  EXPECT_EQ(defaultText(table_.quantity("force", fields_.force, Dimension::kForce, "", "auto")),
            "2 N");
}

TEST_F(Schema, RequiredKeyHasNoDefault) {
  EXPECT_EQ(defaultText(table_.quantity("a", fields_.length, Dimension::kLength, "").required()),
            "");
  EXPECT_EQ(defaultText(
                table_.quantity("b", fields_.length, Dimension::kLength, "").requiredWhen("with")),
            "");
}

TEST_F(Schema, RangeReadsAsAPersonWouldSayIt) {
  const auto key = [&]() -> Key& {
    return table_.quantity("length", fields_.length, Dimension::kLength, "");
  };
  EXPECT_EQ(rangeText(key()), "");
  EXPECT_EQ(rangeText(key().atLeast("1 mm").atMost("2 m")), "from 1 mm to 2 m");
  EXPECT_EQ(rangeText(key().above("0 m")), "above 0 m");
  EXPECT_EQ(rangeText(key().above("0 m").atMost("2 m")), "above 0 m, at most 2 m");
  EXPECT_EQ(rangeText(key().atLeast("0 m").below("2 m")), "at least 0 m, below 2 m");
}

TEST_F(Schema, AllowedValuesNameUnitsWordsAndForms) {
  const auto length = allowedValues(table_.quantity("a", fields_.length, Dimension::kLength, ""));
  EXPECT_NE(length.find("mm"), std::string::npos) << length;
  EXPECT_NE(length.find("in"), std::string::npos) << length;
  const auto force =
      allowedValues(table_.quantity("b", fields_.force, Dimension::kForce, "", "auto"));
  EXPECT_NE(force.find("lbf"), std::string::npos) << force;
  EXPECT_NE(force.find("or \"auto\""), std::string::npos) << force;
  const auto loads = allowedValues(table_.quantities("c", fields_.loads, Dimension::kForce, ""));
  EXPECT_EQ(loads.find("a list, each "), 0u) << loads;
  const auto point = allowedValues(table_.point("d", fields_.centre, ""));
  EXPECT_EQ(point.find("a list of three"), 0u) << point;
  EXPECT_EQ(allowedValues(table_.text("e", fields_.name, "")), "a text in quotes");
  EXPECT_EQ(allowedValues(table_.wholeNumber("f", fields_.seed, "")), "a whole number from 0");
  EXPECT_EQ(allowedValues(table_.count("g", fields_.copies, "")), "a whole number or \"auto\"");
  EXPECT_EQ(allowedValues(table_.scope("h", fields_.scope, "")), "a scope such as \"7:1\"");
  EXPECT_EQ(allowedValues(table_.choice<Colour>(
                "i", fields_.colour, {{"red", Colour::kRed}, {"green", Colour::kGreen}}, "")),
            "one of red, green");
}

TEST_F(Schema, ChoiceFillsTheFieldItIsBoundTo) {
  Key& key = table_.choice<Colour>("colour", fields_.colour,
                                   {{"red", Colour::kRed}, {"green", Colour::kGreen}}, "");
  std::get<ChoiceTarget>(key.target).choose(0);
  EXPECT_EQ(fields_.colour, Colour::kRed);
}

TEST_F(Schema, KeysAndTablesStayWhereTheyAreWhenMoreAreAdded) {
  Key& first = table_.wholeNumber("first", fields_.seed, "");
  TableSchema& inner = table_.table("inner", "");
  for (int k = 0; k < 100; ++k) {
    table_.wholeNumber("more", fields_.seed, "");
    table_.table("more", "");
  }
  first.required();
  inner.wholeNumber("deep", fields_.seed, "");
  EXPECT_TRUE(table_.keys.front().isRequired);
  EXPECT_EQ(table_.subTables.front().keys.size(), 1u);
}

}  // namespace holdground
