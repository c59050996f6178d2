#include "scenarios/schema/probe_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "scenarios/schema/named_file.hpp"
#include "tests/support/scenario_texts.hpp"
#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

ProbeSpec read(const std::string& text) {
  const ScenarioFolder folder;
  folder.writeProbe(text);
  return readProbeFile(folder.probe());
}

std::string faultOf(const std::string& from, const std::string& to) {
  return withoutFolder(inputFault([&] { read(replaced(kProbeText, from, to)); }));
}

}  // namespace

TEST(ProbeFile, ReadsBodiesPhasesAndTheBedItNames) {
  const ProbeSpec probe = read(kProbeText);
  EXPECT_EQ(probe.name, "test probe");
  EXPECT_EQ(probe.bed.name, "test sand");
  ASSERT_EQ(probe.bodies.size(), 2u);
  EXPECT_EQ(probe.bodies[0].name, "lid");
  EXPECT_EQ(probe.bodies[0].shape, ProbeShape::kPlate);
  EXPECT_EQ(probe.bodies[0].length, 0.3);
  EXPECT_EQ(probe.bodies[0].mass, 20.0);
  EXPECT_EQ(probe.bodies[0].damping, 100.0);
  EXPECT_EQ(probe.bodies[0].position, Vec3(0.0, 0.0, 0.1));
  EXPECT_EQ(probe.bodies[1].shape, ProbeShape::kTube);
  ASSERT_EQ(probe.phases.size(), 2u);
  EXPECT_EQ(probe.phases[0].duration, 0.5);
  EXPECT_EQ(probe.phases[0].ramp, 0.05);
  EXPECT_EQ(probe.duration(), 1.5);
  ASSERT_EQ(probe.phases[0].moves.size(), 1u);
  EXPECT_EQ(probe.phases[0].moves[0].body, "lid");
  EXPECT_EQ(probe.phases[0].moves[0].force[2], -500.0);
  EXPECT_FALSE(probe.phases[0].moves[0].velocity[0]);
  ASSERT_EQ(probe.phases[1].moves.size(), 2u);
  EXPECT_DOUBLE_EQ(*probe.phases[1].moves[0].spin[2], kPi);
  EXPECT_TRUE(probe.phases[1].moves[1].remove);
}

TEST(ProbeFile, TurnsABodyAboutXThenYThenZ) {
  const ProbeSpec probe = read(replaced(kProbeText, "mass = \"20 kg\"",
                                        "mass = \"20 kg\"\nroll = \"90 deg\"\nyaw = \"90 deg\""));
  // Roll brings y to z; then yaw x to y.
  EXPECT_LT((probe.bodies[0].rotation * Vec3::UnitY() - Vec3::UnitZ()).norm(), 1e-15);
  EXPECT_LT((probe.bodies[0].rotation * Vec3::UnitX() - Vec3::UnitY()).norm(), 1e-15);
}

TEST(ProbeFile, SeedIsThatOfTheBedUnlessTheProbeHasItsOwn) {
  EXPECT_EQ(read(kProbeText).seed, 1u);
  const ProbeSpec probe = read(std::string("seed = 7\n") + kProbeText);
  EXPECT_EQ(probe.seed, 7u);
  EXPECT_EQ(probe.bed.seed, 7u);
}

TEST(ProbeFile, DefaultRampIsNoLongerThanThePhase) {
  const ProbeSpec probe = read(replaced(kProbeText, "\"0.5 s\"", "\"20 ms\""));
  EXPECT_EQ(probe.phases[0].ramp, 0.02);
}

TEST(ProbeFile, RefusesWhatContradictsItself) {
  EXPECT_THAT(faultOf("thickness = \"20 mm\"", ""), HasSubstr("body[1].thickness: missing key"));
  EXPECT_THAT(faultOf("thickness = \"20 mm\"", "thickness = \"20 mm\"\ndiameter = \"1 m\""),
              HasSubstr("body[1].diameter: found with shape plate, where it has no effect"));
  EXPECT_THAT(faultOf("name = \"pipe\"", "name = \"lid\""), HasSubstr("body[2].name: found twice"));
  EXPECT_THAT(faultOf("name = \"pipe\"", "name = \"a,b\""), HasSubstr("letters, digits"));
  EXPECT_THAT(faultOf("mass = \"20 kg\"", ""), HasSubstr("body[1].damping: found without mass"));
  EXPECT_THAT(faultOf("force_z = \"-500 N\"", "velocity_z = \"1 m/s\"\nforce_z = \"-500 N\""),
              HasSubstr("phase[1].move[1].force_z: found beside velocity_z"));
  EXPECT_THAT(faultOf("spin_z = \"180 deg/s\"", "body = \"lid\""), HasSubstr("given twice"));
  EXPECT_THAT(faultOf("remove = true", "remove = true\nvelocity_x = \"1 m/s\""),
              HasSubstr("phase[2].move[2].remove: found beside a motion"));
  EXPECT_THAT(faultOf("duration = \"0.5 s\"", "duration = \"0.5 s\"\nramp = \"1 s\""),
              HasSubstr("phase[1].ramp: found longer than duration"));
  EXPECT_THAT(faultOf("duration = \"0.5 s\"", "duration = \"1 ms\""),
              HasSubstr("phase[1].duration: found shorter than series_interval"));
}

TEST(ProbeFile, RefusesABodyThatIsGoneOrNamedTwice) {
  const std::string again =
      "[[phase]]\nname = \"more\"\nduration = \"1 s\"\n[[phase.move]]\n"
      "body = \"pipe\"\nvelocity_x = \"1 m/s\"\n";
  EXPECT_THAT(inputFault([&] { read(kProbeText + again); }),
              HasSubstr("phase[3].move[1].body: found a body that has been taken away"));
  const std::string twice = "[[phase.move]]\nbody = \"lid\"\n";
  EXPECT_THAT(inputFault([&] { read(kProbeText + twice); }),
              HasSubstr("phase[2].move[3].body: found twice in a phase"));
}

TEST(ProbeFile, ShippedProbesAreRead) {
  for (const char* name : {"plate-pull.toml", "t-bar.toml"}) {
    const ProbeSpec probe = readProbeFile(scenariosFolder() / "probes" / name);
    EXPECT_FALSE(probe.bodies.empty());
    EXPECT_THAT(probe.note, HasSubstr("invented"));
  }
}

}  // namespace holdground
