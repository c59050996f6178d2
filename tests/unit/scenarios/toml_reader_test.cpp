#include "scenarios/schema/toml_reader.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

struct Fields {
  std::string name = "none";
  double length = 1.0;
  std::optional<double> force;
  std::vector<double> loads;
  std::uint64_t seed = 3;
  std::optional<int> copies;
  int colour = 1;
  std::vector<double> masses;
};

TableSchema schemaOf(Fields& fields) {
  TableSchema root("test file", "For tests.");
  root.text("name", fields.name, "a name");
  TableSchema& inner = root.table("inner", "inner things");
  inner.quantity("length", fields.length, Dimension::kLength, "a length")
      .atLeast("1 in")
      .below("2 m");
  inner.quantity("force", fields.force, Dimension::kForce, "a force", "auto");
  inner.quantities("loads", fields.loads, Dimension::kForce, "some forces").above("0 N");
  inner.wholeNumber("seed", fields.seed, "a seed");
  inner.count("copies", fields.copies, "copies").atLeast("1").atMost("10");
  inner.choice<int>("colour", fields.colour, {{"red", 0}, {"green", 1}}, "a colour");
  return root;
}

Reading read(const std::string& text, Fields& fields) {
  return fillFromToml({"file.toml", text}, schemaOf(fields));
}

std::string faultOf(const std::string& text) {
  Fields fields;
  return inputFault([&] { read(text, fields); });
}

TEST(TomlReader, FillsTheFieldsAndRemembersWhatWasThere) {
  Fields fields;
  const Reading reading =
      read("inner.length = \"5 in\"\ninner.colour = \"red\"\ninner.loads = [\"1 N\", \"2 kN\"]\n",
           fields);
  EXPECT_DOUBLE_EQ(fields.length, 0.127);
  EXPECT_EQ(fields.colour, 0);
  EXPECT_EQ(fields.loads, (std::vector<double>{1.0, 2000.0}));
  EXPECT_TRUE(reading.has("inner.length"));
  EXPECT_FALSE(reading.has("inner.seed"));
  EXPECT_STREQ(reading.fault("inner.colour", "text").what(), "file.toml:2:7: inner.colour: text");
}

TEST(TomlReader, AutoEmptiesAnOptionalField) {
  Fields fields;
  fields.force = 1.0;
  fields.copies = 4;
  read("[inner]\nforce = \"auto\"\ncopies = \"auto\"\n", fields);
  EXPECT_FALSE(fields.force);
  EXPECT_FALSE(fields.copies);
}

TEST(TomlReader, EndsOfARangeAreInOrOutAsDeclared) {
  EXPECT_EQ(faultOf("inner.length = \"1 in\""), "");
  EXPECT_EQ(
      faultOf("inner.length = \"0.0253 m\""),
      "file.toml:1:16: inner.length: found \"0.0253 m\", allowed is at least 1 in, below 2 m");
  EXPECT_THAT(faultOf("inner.length = \"2 m\""), HasSubstr("below 2 m"));
  EXPECT_THAT(faultOf("inner.loads = [\"1 N\", \"0 N\"]"), HasSubstr(":1:23: inner.loads"));
  EXPECT_THAT(faultOf("inner.copies = 11"), HasSubstr("found 11, allowed is from 1 to 10"));
}

TEST(TomlReader, EveryKindOfValueIsRefusedWhereAnotherIsWanted) {
  const std::string values[] = {"true",       "3",        "2.5", "\"word\"", "[]", "[1]", "{}",
                                "2024-05-01", "07:32:00", "inf", "nan",      "-1", "\"\""};
  for (const std::string& value : values) {
    for (const char* key : {"length", "force", "loads"}) {
      EXPECT_THAT(faultOf("[inner]\n" + std::string(key) + " = " + value),
                  HasSubstr("file.toml:2:"))
          << key << " = " << value;
    }
    if (value != "3") {
      EXPECT_THAT(faultOf("[inner]\nseed = " + value), HasSubstr("allowed is")) << value;
      EXPECT_THAT(faultOf("[inner]\ncopies = " + value), HasSubstr("allowed is")) << value;
    }
    EXPECT_THAT(faultOf("[inner]\ncolour = " + value), HasSubstr("one of red, green")) << value;
    if (value != "{}") {
      EXPECT_THAT(faultOf("inner = " + value), HasSubstr("allowed is a table [inner]")) << value;
    }
  }
}

TEST(TomlReader, UnknownKeysAreToldTheNearestOneOrWhereTheyBelong) {
  EXPECT_EQ(faultOf("[inner]\nlenght = \"1 m\"\n"),
            "file.toml:2:1: inner.lenght: unknown key, allowed is length, force, loads, seed, "
            "copies, colour; did you mean length?");
  EXPECT_EQ(faultOf("length = \"1 m\"\n"),
            "file.toml:1:1: length: unknown key, allowed is name, inner; it belongs in [inner]");
  EXPECT_EQ(faultOf("[iner]\n"),
            "file.toml:1:2: iner: unknown key, allowed is name, inner; did you mean inner?");
}

TEST(TomlReader, NothingIsFoundInAnEmptyFile) {
  Fields fields;
  read("", fields);
  read("# only a comment", fields);
  EXPECT_EQ(fields.name, "none");
}

TEST(TomlReader, LongLinesAndDeepNestingAreRefusedNotFollowed) {
  std::string dots = "a";
  for (int k = 0; k < 100000; ++k) dots += ".a";
  EXPECT_THAT(faultOf(dots + " = 1"), HasSubstr("file.toml:1:1: found a line of 200005 bytes"));
  EXPECT_THAT(faultOf("\n\na = " + std::string(3000, '[')), HasSubstr("file.toml:3:"));
}

TEST(ReadSource, RefusesWhatIsNoFile) {
  const ScenarioFolder folder;
  const auto parent = folder.bed().parent_path();
  EXPECT_EQ(inputFault([&] { readSource(parent / "none.toml"); }),
            (parent / "none.toml").string() + ": no such file");
  EXPECT_EQ(inputFault([&] { readSource(parent); }),
            parent.string() + ": found a folder or device, allowed is a TOML file");
  EXPECT_THAT(inputFault([] { readSource("/dev/zero"); }), HasSubstr("folder or device"));
  folder.writeBed(std::string(2000000, '\n'));
  EXPECT_THAT(inputFault([&] { readSource(folder.bed()); }), HasSubstr("2000000 bytes"));
}

}  // namespace
}  // namespace holdground
