#include "scenarios/cli/command_line.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <new>
#include <sstream>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

/// Runs a command line against an engine that only remembers what it was asked.
class CommandLine : public testing::Test {
 protected:
  CommandLine() {
    engine_.survey = [this](const AnchorSpec& anchor, const SurveyOptions& options) {
      anchor_ = anchor;
      survey_ = options;
      return 0;
    };
    engine_.bed = [this](const BedRecipe& recipe, const BedOptions& options) {
      recipe_ = recipe;
      bed_ = options;
      return 0;
    };
    engine_.pull = [this](const TrialSpec& trial, const PullOptions& options) {
      trial_ = trial;
      pull_ = options;
      return 130;
    };
    engine_.probe = [this](const ProbeSpec& probe, const ProbeOptions& options) {
      probe_ = probe;
      probing_ = options;
      return 0;
    };
    engine_.view = [this](const std::vector<std::string>& arguments) { viewed_ = arguments; };
  }

  int run(const std::vector<std::string>& arguments) {
    out_.str("");
    err_.str("");
    return runGuarded(arguments, engine_, out_, err_);
  }

  /// The status is 2 and there is one line on standard error, none on standard output.
  std::string usageFault(const std::vector<std::string>& arguments) {
    EXPECT_EQ(run(arguments), kBadInput);
    EXPECT_EQ(out_.str(), "");
    const std::string text = err_.str();
    EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 1) << text;
    return text;
  }

  ScenarioFolder folder_;
  Engine engine_;
  AnchorSpec anchor_;
  SurveyOptions survey_;
  BedRecipe recipe_;
  BedOptions bed_;
  TrialSpec trial_;
  PullOptions pull_;
  ProbeSpec probe_;
  ProbeOptions probing_;
  std::vector<std::string> viewed_;
  std::ostringstream out_, err_;
};

TEST_F(CommandLine, PullReachesTheEngineWithItsOptions) {
  EXPECT_EQ(run({"pull", folder_.trial(), "-o", "out/x", "--threads", "3", "--seed", "9",
                 "--resume", "--json", "--units", "us,ft"}),
            130);
  EXPECT_EQ(trial_.name, "test pull");
  EXPECT_EQ(trial_.seed, 9u);
  EXPECT_EQ(trial_.bed.seed, 9u);
  EXPECT_EQ(pull_.output, "out/x");
  EXPECT_EQ(pull_.threads, 3);
  EXPECT_EQ(pull_.start, StartMode::kResume);
  EXPECT_EQ(pull_.report, ReportStyle::kJson);
  EXPECT_EQ(pull_.units.symbol(Dimension::kLength), "ft");
  EXPECT_EQ(err_.str(), "");
}

TEST_F(CommandLine, PullWithoutOptionsKeepsTheFilesSeedAndStartsAfresh) {
  run({"pull", folder_.trial(), "-o", "x"});
  EXPECT_EQ(trial_.seed, 1u);
  EXPECT_EQ(pull_.threads, 0);
  EXPECT_EQ(pull_.start, StartMode::kFresh);
  EXPECT_EQ(pull_.report, ReportStyle::kText);
  EXPECT_EQ(pull_.units.symbol(Dimension::kForce), "N");
}

TEST_F(CommandLine, BedAndSurveyReachTheEngine) {
  EXPECT_EQ(run({"bed", folder_.bed(), "--seed", "4", "-o", "tile.h5"}), kDone);
  EXPECT_EQ(recipe_.seed, 4u);
  EXPECT_EQ(bed_.output, "tile.h5");
  EXPECT_EQ(bed_.card, CardKind::kTile);
  EXPECT_EQ(run({"bed", folder_.bed(), "--card"}), kDone);
  EXPECT_EQ(bed_.card, CardKind::kQuick);
  EXPECT_EQ(run({"bed", "--card", folder_.bed()}), kDone);
  EXPECT_EQ(bed_.card, CardKind::kQuick);
  EXPECT_EQ(run({"bed", folder_.bed(), "--card", "full", "--json"}), kDone);
  EXPECT_EQ(bed_.card, CardKind::kFull);
  EXPECT_EQ(run({"bed", "--card=full", folder_.bed()}), kDone);
  EXPECT_EQ(bed_.card, CardKind::kFull);
  EXPECT_EQ(bed_.work, BedWork::kSettle);
  EXPECT_EQ(run({"bed", folder_.bed(), "--calibrate", "-o", "new.toml"}), kDone);
  EXPECT_EQ(bed_.work, BedWork::kCalibrate);
  EXPECT_EQ(bed_.output, "new.toml");
  EXPECT_THAT(usageFault({"bed", folder_.bed(), "--calibrate", "--card"}), HasSubstr("--card"));
  EXPECT_EQ(run({"survey", folder_.anchor(), "--units", "us"}), kDone);
  EXPECT_EQ(anchor_.name, "test scoop");
  EXPECT_EQ(survey_.units.symbol(Dimension::kMass), "lb");
}

TEST_F(CommandLine, ProbeReachesTheEngineWithItsOptions) {
  EXPECT_EQ(run({"probe", folder_.probe(), "-o", "out/p", "--threads", "2", "--seed", "5", "--json",
                 "--units", "us"}),
            kDone);
  EXPECT_EQ(probe_.name, "test probe");
  EXPECT_EQ(probe_.seed, 5u);
  EXPECT_EQ(probe_.bed.seed, 5u);
  EXPECT_EQ(probing_.output, "out/p");
  EXPECT_EQ(probing_.threads, 2);
  EXPECT_EQ(probing_.report, ReportStyle::kJson);
  EXPECT_EQ(probing_.units.symbol(Dimension::kForce), "lbf");
}

TEST_F(CommandLine, ViewGetsItsArgumentsUntouched) {
  EXPECT_EQ(run({"view", "out/x", "--help", "-o", "y"}), kDone);
  EXPECT_EQ(viewed_, (std::vector<std::string>{"out/x", "--help", "-o", "y"}));
}

TEST_F(CommandLine, HelpHasAnExampleOfEachVerbAndGoesToStandardOutput) {
  EXPECT_EQ(run({"--help"}), kDone);
  EXPECT_THAT(out_.str(), HasSubstr("Exit status"));
  for (const char* verb : {"survey", "bed", "pull", "probe", "keys"}) {
    EXPECT_EQ(run({verb, "--help"}), kDone);
    EXPECT_THAT(out_.str(), HasSubstr(std::string("Example:\n  holdground ") + verb));
    EXPECT_EQ(err_.str(), "");
  }
}

TEST_F(CommandLine, KeysPrintsTheReference) {
  EXPECT_EQ(run({"keys"}), kDone);
  EXPECT_THAT(out_.str(), StartsWith("# Keys of the scenario files"));
}

TEST_F(CommandLine, WrongUsageIsOneLineAndStatusTwo) {
  usageFault({});
  EXPECT_EQ(
      usageFault({"pul"}),
      "holdground: found \"pul\", allowed is one of survey, bed, pull, probe, view, keys; did you "
      "mean pull? (see holdground --help)\n");
  usageFault({""});
  usageFault({"--nonsense"});
  usageFault({"pull"});
  usageFault({"pull", folder_.trial()});
  usageFault({"pull", folder_.trial(), "-o"});
  usageFault({"pull", folder_.trial(), "-o", "x", "more"});
  usageFault({"pull", folder_.trial(), "-o", "x", "--threads", "0"});
  usageFault({"pull", folder_.trial(), "-o", "x", "--threads", "two"});
  usageFault({"pull", folder_.trial(), "-o", "x", "--seed", "-1"});
  usageFault({"pull", folder_.trial(), "-o", "x", "--seed", "99999999999999999999"});
  usageFault({"pull", folder_.trial(), "-o", "x", "--colour"});
  usageFault({"survey", folder_.anchor(), "--units", "furlong"});
  EXPECT_EQ(usageFault({"keys", "more", "--size", "9"}),
            "holdground: found more --size 9, which is not allowed here (see holdground keys "
            "--help)\n");
  usageFault({"bed", "\n\n\n"});
  EXPECT_EQ(pull_.output, "") << "the engine must not have been called";
}

TEST_F(CommandLine, AFaultInAFileIsOneLineWithItsPlace) {
  folder_.writeTrial(replaced(kTrialText, "mode =", "mood ="));
  EXPECT_THAT(
      usageFault({"pull", folder_.trial(), "-o", "x"}),
      StartsWith("holdground: " + folder_.trial().string() + ":5:1: pull.mood: unknown key"));
}

TEST_F(CommandLine, ExceptionsBecomeTheDocumentedStatus) {
  const auto statusOf = [this](auto thrown) {
    engine_.pull = [thrown](const TrialSpec&, const PullOptions&) -> int { throw thrown; };
    const int status = run({"pull", folder_.trial(), "-o", "x"});
    EXPECT_THAT(err_.str(), StartsWith("holdground: "));
    return status;
  };
  EXPECT_EQ(statusOf(InputError("x")), kBadInput);
  EXPECT_EQ(statusOf(SystemError("disk full")), kSystemFault);
  EXPECT_EQ(err_.str(), "holdground: disk full\n");
  EXPECT_EQ(statusOf(std::bad_alloc()), kSystemFault);
  EXPECT_EQ(statusOf(std::filesystem::filesystem_error("x", std::error_code())), kSystemFault);
  EXPECT_EQ(statusOf(SimulationError("a grain left the bed")), kBedLost);
  EXPECT_EQ(statusOf(std::logic_error("x")), kInternalFault);
}

TEST_F(CommandLine, StandardOutputThatCannotBeWrittenIsASystemFault) {
  std::ostream broken(nullptr);
  EXPECT_EQ(runGuarded({"keys"}, engine_, broken, err_), kSystemFault);
}

}  // namespace
}  // namespace holdground
