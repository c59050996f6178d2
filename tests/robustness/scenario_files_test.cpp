// A wall of malformed scenario files: each is refused with one line that names file, line, column
// and key, and no engine is called.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>
#include <regex>
#include <sstream>

#include "scenarios/cli/command_line.hpp"
#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/probe_file.hpp"
#include "scenarios/schema/toml_reader.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

enum class File { kBed, kAnchor, kParts, kTrial, kLoadTrial, kProbe };

/// A valid file in which `from` becomes `to`; the fault names `place` (line, column and key) and
/// says `word`.
struct Broken {
  File file;
  std::string from, to, place, word;
};

void PrintTo(const Broken& broken, std::ostream* out) {
  *out << "expecting " << broken.place << "... " << broken.word;
}

const Broken kWall[] = {
    // Broken TOML.
    {File::kBed, "name = \"test sand\"", "name = \"test sand", "1:", "not valid TOML"},
    {File::kBed, "name =", "name", "1:", "not valid TOML"},
    {File::kBed, "[grains]", "[grains", "3:", "not valid TOML"},
    {File::kBed, "[grains]", "grains]", "3:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = 0.5.1", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = 00.5", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = 0,5", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = 40 mm", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = \"\\q\"", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", std::string("friction = \0", 12), "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = \"\xff\xfe\"", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = 0.5\nfriction = 0.5", "7:", "given twice"},
    {File::kBed, "[tile]", "[grains]", "7:1: ", "given twice"},
    {File::kBed, "[tile]", "[[grains]]", "7:1: ", "given twice"},
    {File::kBed, "friction = 0.5", "<<<<<<< HEAD", "6:", "not valid TOML"},
    {File::kBed, "friction = 0.5", "friction = half", "6:", "a text stands in quotes"},
    {File::kBed, "name = \"test sand\"", "name = \"test sand", "1:", "ends with a quote"},
    {File::kBed, "friction = 0.5", "friction = \"\xff\xfe\"", "6:", "text in UTF-8"},
    // Unknown, misplaced and missing keys.
    {File::kBed, "friction =", "frictoin =", "6:1: grains.frictoin: ", "did you mean friction?"},
    {File::kBed, "friction =", "Friction =", "6:1: grains.Friction: ", "did you mean friction?"},
    {File::kBed, "friction =", "\"\" =", "6:1: grains.: ", "unknown key"},
    {File::kBed, "friction =", "\"a\\nb\" =", "6:1: grains.a?b: ", "unknown key"},
    {File::kBed, "friction =", "depth =", "6:1: grains.depth: ", "it belongs in [tile]"},
    {File::kBed, "[tile]", "[tyle]", "7:2: tyle: ", "did you mean tile?"},
    {File::kBed, "name = \"test sand\"", "name = \"test sand\"\npull = 1",
     "2:1: pull: ", "looks like the trial file, needed is the bed file"},
    {File::kBed, "name = \"test sand\"", "", "1:1: name: ", "missing key"},
    {File::kBed, "length = \"1.6 m\"", "", "7:1: tile.length: ", "missing key"},
    {File::kBed, "largest_diameter = \"44 mm\"", "",
     "3:1: grains.largest_diameter: ", "missing key"},
    // Wrong types.
    {File::kBed, "name = \"test sand\"", "name = 3", "1:8: name: ", "a text in quotes"},
    {File::kBed, "name = \"test sand\"", "name = \"\"", "1:8: name: ", "that is not empty"},
    {File::kBed, "name = \"test sand\"", "name = [\"x\"]", "1:8: name: ", "found a list"},
    {File::kBed, "friction = 0.5", "friction = true", "6:12: grains.friction: ", "found true"},
    {File::kBed, "friction = 0.5", "friction = {}", "6:12: grains.friction: ", "found a table"},
    {File::kBed, "friction = 0.5", "friction = nan", "6:12: grains.friction: ", "found nan"},
    {File::kBed, "friction = 0.5", "friction = inf", "6:12: grains.friction: ", "found inf"},
    {File::kBed, "friction = 0.5", "friction = 1979-05-27",
     "6:12: grains.friction: ", "pure number"},
    {File::kBed, "note = \"invented\"", "seed = \"1\"", "2:8: seed: ", "a whole number"},
    {File::kBed, "note = \"invented\"", "seed = -1", "2:8: seed: ", "found -1"},
    {File::kBed, "note = \"invented\"", "seed = 1.0", "2:8: seed: ", "a whole number"},
    {File::kBed, "note = \"invented\"", "water = 1025", "2:1: water: ", "a table [water]"},
    {File::kTrial, "[pull]", "tiles.along = \"many\"\n[pull]", "4:15: tiles.along: ", "\"auto\""},
    {File::kTrial, "[pull]", "tiles.along = 0\n[pull]", "4:15: tiles.along: ", "from 1 to 1000"},
    {File::kParts, "[[part]]", "[part]", "2:2: part: ", "[[part]]"},
    {File::kParts, "[\"0.5 m\", \"0 m\", \"0.2 m\"]", "\"0.5 m\"",
     "8:11: points.shackle: ", "list of three"},
    {File::kParts, "[\"0.5 m\", \"0 m\", \"0.2 m\"]", "[]",
     "8:11: points.shackle: ", "list of three"},
    {File::kParts, "[\"0.5 m\", \"0 m\", \"0.2 m\"]", "[0.5, 0, 0.2]",
     "8:12: points.shackle: ", "without a unit"},
    {File::kLoadTrial, "[\"500 N\", \"1 kN\", \"300 lbf\"]", "[]",
     "7:9: pull.steps: ", "found an empty list"},
    {File::kTrial, "\"bed.toml\"", "\".\"", "2:1: bed: ", "a folder or device"},
    {File::kParts, "\"plate.stl\"", "\".\"", "5:1: part[1].mesh: ", "a folder or device"},
    {File::kBed, "name = \"test sand\"", "name = \"a\\nb\"", "1:8: name: ", "a control character"},
    {File::kLoadTrial, "[pull]", "output.series_interval = \"2 s\"\n[pull]",
     "4:8: output.series_interval: ", "a twentieth of hold.duration"},
    {File::kParts, "\"fluke\"", "\"shank\"", "4:1: part[1].role: ", "no part that is a fluke"},
    // Wrong units.
    {File::kBed, "\"36 mm\"", "36", "4:21: grains.smallest_diameter: ", "without a unit"},
    {File::kBed, "\"36 mm\"", "\"36\"", "4:21: grains.smallest_diameter: ", "without a unit"},
    {File::kBed, "\"36 mm\"", "\"36 kg\"",
     "4:21: grains.smallest_diameter: ", "kg is a unit of mass"},
    {File::kBed, "\"36 mm\"", "\"36 MM\"", "4:21: grains.smallest_diameter: ", "did you mean mm?"},
    {File::kBed, "\"36 mm\"", "\"1,5 in\"", "4:21: grains.smallest_diameter: ", "write a point"},
    {File::kBed, "\"36 mm\"", "'1.5\"'", "4:21: grains.smallest_diameter: ", "write in for inches"},
    {File::kBed, "\"36 mm\"", "\"\"", "4:21: grains.smallest_diameter: ", "not a number"},
    {File::kBed, "\"36 mm\"", "\"1/0 in\"",
     "4:21: grains.smallest_diameter: ", "a length with a unit"},
    {File::kBed, "\"36 mm\"", "\"1e999 m\"",
     "4:21: grains.smallest_diameter: ", "a length with a unit"},
    {File::kLoadTrial, "\"1 kN\"", "\"300 lb\"", "7:19: pull.steps: ", "write lbf for the force"},
    {File::kLoadTrial, "\"1 kN\"", "\"100 kg\"", "7:19: pull.steps: ", "write kgf for the force"},
    {File::kTrial, "\"0.4 m/s\"", "\"0.4 kN\"", "6:9: pull.speed: ", "did you mean kn?"},
    {File::kTrial, "speed = \"0.4 m/s\"", "scope = \"7\"", "6:9: pull.scope: ", "\"7:1\""},
    {File::kTrial, "speed = \"0.4 m/s\"", "scope = \"0.5:1\"", "6:9: pull.scope: ", "above 1:1"},
    // Out of range.
    {File::kBed, "friction = 0.5", "friction = -0.1", "6:12: grains.friction: ", "from 0 to 2"},
    {File::kBed, "friction = 0.5", "friction = 1e300", "6:12: grains.friction: ", "from 0 to 2"},
    {File::kBed, "friction = 0.5", "restitution = 0",
     "6:15: grains.restitution: ", "from 0.05 to 1"},
    {File::kBed, "friction = 0.5", "cohesion = \"glue\"",
     "6:12: grains.cohesion: ", "pull-off, elasto-plastic"},
    {File::kBed, "friction = 0.5", "plasticity = 0.5",
     "6:1: grains.plasticity: ", "allowed is only with it"},
    {File::kBed, "friction = 0.5", "cohesion = \"pull-off\"\nadhesive_share = 1",
     "7:1: grains.adhesive_share: ", "without cohesion = \"elasto-plastic\""},
    {File::kBed, "friction = 0.5", "cohesion = \"elasto-plastic\"\nadhesive_share = 1",
     "3:1: grains.plasticity: ", "missing key"},
    {File::kBed, "friction = 0.5", "cohesion = \"elasto-plastic\"\nplasticity = 0.5",
     "3:1: grains.adhesive_share: ", "missing key"},
    {File::kBed, "friction = 0.5", "plasticity = 1", "6:14: grains.plasticity: ", "to 0.9"},
    {File::kBed, "friction = 0.5", "adhesive_share = -1", "6:18: grains.adhesive_share: ", "to 10"},
    {File::kBed, "friction = 0.5", "poisson_ratio = 0.5",
     "6:17: grains.poisson_ratio: ", "to 0.49"},
    {File::kBed, "\"36 mm\"", "\"-36 mm\"",
     "4:21: grains.smallest_diameter: ", "from 0.1 mm to 2 m"},
    {File::kBed, "\"0.8 m\"", "\"0 m\"", "10:9: tile.depth: ", "above 0 m"},
    {File::kTrial, "\"0.4 m/s\"", "\"0 m/s\"", "6:9: pull.speed: ", "from 1 mm/s to 5 m/s"},
    {File::kTrial, "speed = \"0.4 m/s\"", "elevation = \"90 deg\"",
     "6:13: pull.elevation: ", "below 90 deg"},
    {File::kTrial, "[pull]", "solver.time_step = 0.5\n[pull]",
     "4:20: solver.time_step: ", "at most 0.3"},
    {File::kTrial, "[pull]", "output.frame_interval = \"0 s\"\n[pull]",
     "4:25: output.frame_interval: ", "0.1 ms"},
    {File::kAnchor, "\"420 mm\"", "\"-420 mm\"",
     "4:16: pattern.fluke_length: ", "from 50 mm to 3000 mm"},
    // Words that are not among the choices.
    {File::kTrial, "\"speed\"", "\"sped\"", "5:8: pull.mode: ", "did you mean speed?"},
    {File::kTrial, "\"speed\"", "\"Speed\"", "5:8: pull.mode: ", "did you mean speed?"},
    {File::kAnchor, "\"scoop\"", "\"bent\"", "2:8: type: ", "plough, claw, scoop"},
    {File::kParts, "\"mm\"", "\"furlong\"", "6:8: part[1].unit: ", "one of mm, cm, m, in, ft"},
    // What ground and steel do to each other.
    {File::kBed, "[grains]", "strength = \"-2 kPa\"\n[grains]", "3:12: strength: ", "above 0 Pa"},
    {File::kBed, "[grains]", "strength = \"0 Pa\"\n[grains]", "3:12: strength: ", "above 0 Pa"},
    {File::kBed, "[grains]", "permeability = \"0 m/s\"\n[grains]",
     "3:16: permeability: ", "above 0 m/s"},
    {File::kBed, "[grains]", "permeability = \"1e-9 m2\"\n[grains]",
     "3:16: permeability: ", "a speed with a unit"},
    {File::kBed, "[grains]", "permeability = 1e-9\n[grains]", "3:16: permeability: ", "a unit"},
    {File::kBed, "[grains]", "oedometer_modulus = \"-1 kPa\"\n[grains]",
     "3:21: oedometer_modulus: ", "from 1 kPa to 100 GPa"},
    {File::kParts, "\"mm\"", "\"mm\"\nfinish = \"shiny\"",
     "7:10: part[1].finish: ", "smooth galvanized"},
    {File::kParts, "\"mm\"", "\"mm\"\nadhesion = \"-1 Pa\"",
     "7:12: part[1].adhesion: ", "from 0 Pa to 1 MPa"},
    {File::kParts, "\"mm\"", "\"mm\"\nadhesion = \"1 kN\"",
     "7:12: part[1].adhesion: ", "a pressure with a unit"},
    {File::kParts, "\"mm\"", "\"mm\"\ntension = \"2 MPa\"",
     "7:11: part[1].tension: ", "from 0 Pa to 1 MPa"},
    // Keys that contradict each other.
    {File::kBed, "\"44 mm\"", "\"40 m\"", "5:20: grains.largest_diameter: ", "to 2 m"},
    {File::kBed, "\"44 mm\"", "\"30 mm\"", "5:1: grains.largest_diameter: ", "less than smallest"},
    {File::kBed, "\"44 mm\"", "\"1 m\"", "5:1: grains.largest_diameter: ", "10 times"},
    {File::kBed, "\"1.6 m\"", "\"20 cm\"", "8:1: tile.length: ", "5 largest diameters"},
    {File::kTrial, "speed = \"0.4 m/s\"", "rate = \"1 N/s\"", "6:1: pull.rate: ", "has no effect"},
    {File::kLoadTrial, "\"staircase\"", "\"ramp\"", "4:1: pull.maximum: ", "missing key"},
    {File::kLoadTrial, "\"1 kN\"", "\"100 N\"", "7:1: pull.steps: ", "rising loads"},
    {File::kAnchor, "[pattern]", "[bench]\nmass = \"1 kg\"\ntoe_reading = \"1 kg\"\n[pattern]",
     "5:1: bench.toe_reading: ", "less than bench.mass"},
    {File::kParts, "[points]", "mass = \"1 kg\"\ndensity = \"8 g/cm3\"\n[points]",
     "8:1: part[1].density: ", "found beside mass"},
    {File::kAnchor, "fluke_length = \"420 mm\"", "heel_width = \"600 mm\"",
     "4:1: pattern.heel_width: ", "at most fluke_width"},
    // Targets.
    {File::kBed, "[tile]", "[target]\nfriction_angle = 30\n[tile]",
     "8:18: target.friction_angle: ", "without a unit"},
    {File::kBed, "[tile]", "[target]\nfriction_angle = \"90 deg\"\n[tile]",
     "8:18: target.friction_angle: ", "below 90 deg"},
    {File::kBed, "[tile]", "[target]\nfriction_angle = \"-3 deg\"\n[tile]",
     "8:18: target.friction_angle: ", "above 0 deg"},
    {File::kBed, "[tile]", "[target]\nangle = \"30 deg\"\n[tile]",
     "8:1: target.angle: ", "unknown key"},
    {File::kBed, "[tile]", "[target]\nstrength = \"3 kPa\"\n[tile]",
     "7:1: target.strength_depth: ", "missing key"},
    {File::kBed, "[tile]", "[target]\nstrength_depth = \"1 ft\"\n[tile]",
     "7:1: target.strength: ", "missing key"},
    {File::kBed, "[tile]", "[target]\nstrength = \"-3 kPa\"\n[tile]",
     "8:12: target.strength: ", "above 0 Pa"},
    {File::kBed, "[tile]", "[target]\nunit_weight = \"900 kg/m3\"\n[tile]",
     "8:15: target.unit_weight: ", "a weight per volume with a unit"},
    {File::kBed, "[tile]", "[target]\nunit_weight = \"0 kN/m3\"\n[tile]",
     "8:15: target.unit_weight: ", "above 0 kN/m3"},
    {File::kBed, "[tile]", "[target]\nrepose = \"60 deg\"\n[tile]",
     "8:10: target.repose: ", "below 60 deg"},
    {File::kBed, "[tile]", "[target]\nrepose = \"steep\"\n[tile]",
     "8:10: target.repose: ", "not a number"},
    {File::kBed, "[grains]", "target = \"30 deg\"\n[grains]", "3:1: target: ", "a table [target]"},
    // Probes.
    {File::kProbe, "\"plate\"", "\"plat\"", "5:9: body[1].shape: ", "did you mean plate?"},
    {File::kProbe, "\"0.3 m\"", "\"0 m\"", "6:10: body[1].length: ", "from 0.1 mm to 100 m"},
    {File::kProbe, "\"0.3 m\"", "0.3", "6:10: body[1].length: ", "without a unit"},
    {File::kProbe, "length = \"0.3 m\"", "mesh = \"plate.stl\"",
     "6:1: body[1].mesh: ", "has no effect"},
    {File::kProbe, "length = \"0.3 m\"", "", "3:1: body[1].length: ", "missing key"},
    {File::kProbe, "\"20 kg\"", "\"20 N\"", "9:8: body[1].mass: ", "a mass with a unit"},
    {File::kProbe, "mass = \"20 kg\"", "mess = \"20 kg\"", "9:1: body[1].mess: ", "did you mean"},
    {File::kProbe, "[\"0 m\", \"0 m\", \"0.1 m\"]", "\"0 m\"",
     "11:12: body[1].position: ", "a list of three"},
    {File::kProbe, "name = \"pipe\"", "name = \"\"", "13:8: body[2].name: ", "that is not empty"},
    {File::kProbe, "\"0.5 s\"", "\"-1 s\"", "21:12: phase[1].duration: ", "above 0 s"},
    {File::kProbe, "\"-500 N\"", "\"500 kg\"",
     "24:11: phase[1].move[1].force_z: ", "write kgf for the force"},
    {File::kProbe, "force_z", "force", "24:1: phase[1].move[1].force: ", "unknown key"},
    {File::kProbe, "\"180 deg/s\"", "\"180 deg\"",
     "30:10: phase[2].move[1].spin_z: ", "an angular speed"},
    {File::kProbe, "remove = true", "remove = 1",
     "33:10: phase[2].move[2].remove: ", "true or false"},
    {File::kProbe, "body = \"pipe\"", "body = \"pip\"",
     "32:1: phase[2].move[2].body: ", "one of lid, pipe"},
    {File::kProbe, "bed = \"bed.toml\"", "bed = \"none.toml\"", "2:1: bed: ", "no such file"},
    {File::kProbe, "bed = \"bed.toml\"", "bed = \"bed.toml\"\ntiles.along = \"auto\"",
     "3:7: tiles.along: ", "a whole number here"},
    // Files that are not there.
    {File::kTrial, "bed.toml", "sand.toml", "2:1: bed: ", "no such file"},
    {File::kTrial, "anchor.toml", ".", "3:1: anchor: ", "a folder or device"},
    {File::kParts, "plate.stl", "../plate.stl", "5:1: part[1].mesh: ", "no such file"},
    {File::kTrial, "\"bed.toml\"", "\"\"", "2:7: bed: ", "a text in quotes"},
};

std::string textOf(File file) {
  switch (file) {
    case File::kBed:
      return kBedText;
    case File::kAnchor:
      return kPatternAnchorText;
    case File::kParts:
      return kPartAnchorText;
    case File::kTrial:
      return kTrialText;
    case File::kLoadTrial:
      return kLoadTrialText;
    case File::kProbe:
      return kProbeText;
  }
  return "";
}

class MalformedScenario : public testing::TestWithParam<Broken> {};

TEST_P(MalformedScenario, IsRefusedInOneLineWithPlaceKeyAndReason) {
  const Broken& broken = GetParam();
  const ScenarioFolder folder;
  const std::string text = replaced(textOf(broken.file), broken.from, broken.to);
  std::string name = "trial.toml";
  if (broken.file == File::kBed) {
    folder.writeBed(text);
    name = "bed.toml";
  } else if (broken.file == File::kAnchor || broken.file == File::kParts) {
    folder.writeAnchor(text);
    name = "anchor.toml";
  } else if (broken.file == File::kProbe) {
    folder.writeProbe(text);
    name = "probe.toml";
  } else {
    folder.writeTrial(text);
  }
  Engine engine;
  engine.pull = [](const TrialSpec&, const PullOptions&) -> int {
    ADD_FAILURE() << "the engine was called";
    return 0;
  };
  engine.probe = [](const ProbeSpec&, const ProbeOptions&) -> int {
    ADD_FAILURE() << "the engine was called";
    return 0;
  };
  std::ostringstream out, err;
  const bool isProbe = broken.file == File::kProbe;
  EXPECT_EQ(runGuarded({isProbe ? "probe" : "pull", isProbe ? folder.probe() : folder.trial(), "-o",
                        "nowhere"},
                       engine, out, err),
            kBadInput);
  EXPECT_EQ(out.str(), "");
  const std::string line = err.str();
  EXPECT_EQ(line.find('\n'), line.size() - 1) << line;
  EXPECT_LT(line.size(), 700u) << line;
  EXPECT_THAT(line, testing::HasSubstr(name + ":" + broken.place));
  EXPECT_THAT(line, testing::HasSubstr(broken.word));
}

INSTANTIATE_TEST_SUITE_P(Wall, MalformedScenario, testing::ValuesIn(kWall));

// Property: whatever the bytes, the reader returns or throws InputError with one line.
void expectReadOrRefused(const std::string& text) {
  BedDraft bed;
  AnchorDraft anchor;
  TrialDraft trial;
  ProbeDraft probe;
  for (const TableSchema& schema :
       {bedSchema(bed), anchorSchema(anchor), trialSchema(trial), probeSchema(probe)}) {
    const std::string fault = inputFault([&] { fillFromToml({"x.toml", text}, schema); });
    EXPECT_EQ(fault.find_first_of("\n\r\x1b"), std::string::npos) << fault;
  }
}

TEST(ScenarioReader, RandomBytesAreReadOrRefused) {
  std::mt19937_64 random(3);
  for (int k = 0; k < 500; ++k) {
    std::string text(random() % 200, '\0');
    for (char& c : text) c = static_cast<char>(random() & (k % 2 ? 0x7F : 0xFF));
    expectReadOrRefused(text);
  }
}

TEST(ScenarioReader, ValidFilesWithRandomEditsAreReadOrRefused) {
  std::mt19937_64 random(5);
  const std::string likely = "[]{}\"'=.,#\n -0123456789eautomkN\\";
  for (int k = 0; k < 1000; ++k) {
    std::string text = textOf(static_cast<File>(random() % 6));
    for (std::size_t edits = 1 + random() % 6; edits > 0; --edits) {
      const std::size_t at = random() % text.size();
      const std::size_t kind = random() % 3;
      const char c = likely[random() % likely.size()];
      if (kind == 0) text[at] = c;
      if (kind == 1) text.insert(at, 1, c);
      if (kind == 2) text.erase(at, random() % 20);
      if (text.empty()) text.push_back(' ');
    }
    expectReadOrRefused(text);
  }
}

TEST(ScenarioReader, EveryCutOfAValidFileIsReadOrRefused) {
  for (const File file : {File::kBed, File::kParts, File::kLoadTrial, File::kProbe}) {
    const std::string text = textOf(file);
    for (std::size_t end = 0; end <= text.size(); ++end) expectReadOrRefused(text.substr(0, end));
  }
}

}  // namespace
}  // namespace holdground
