#include "scenarios/cli/command_line.hpp"

#include <CLI/CLI.hpp>
#include <charconv>
#include <filesystem>
#include <new>
#include <ostream>

#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/key_reference.hpp"
#include "scenarios/schema/probe_file.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "scenarios/schema/wording.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/version.hpp"

namespace holdground {
namespace {

constexpr const char* kExitStatuses =
    "Results go to standard output, messages to standard error.\n"
    "Exit status: 0 done, 2 wrong input or usage, 3 system failure (disk, permission, memory),\n"
    "4 grains or anchor flew apart, results are those up to then, 1 internal fault,\n"
    "128 and its number when a signal ended it: 130, 143, 129, 141; a pull under way keeps a "
    "checkpoint.";

/// What may stand on the command line, over all verbs.
struct Arguments {
  std::string file, output, units = "metric";
  int threads = 0;
  std::int64_t seed = -1;  ///< below zero: not given
  bool json = false;
  bool resume = false;
  std::string card;  ///< empty: not asked for
  bool calibrate = false;

  ReportStyle report() const { return json ? ReportStyle::kJson : ReportStyle::kText; }
};

void addReportOptions(CLI::App& verb, Arguments& arguments) {
  verb.add_flag("--json", arguments.json, "Print the result as JSON, in SI units");
  verb.add_option("--units", arguments.units,
                  "What to read: metric, us, or single units as in us,ft or mm,kN")
      ->type_name("U");
}

/// Why a text is no seed; empty when it is one (the same whole numbers as in a file).
std::string seedFault(const std::string& text) {
  std::int64_t seed = -1;
  const auto end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, seed);
  const bool whole = error == std::errc() && stop == end && seed >= 0;
  return whole ? "" : "found " + inQuotes(text) + ", allowed is a whole number from 0 to 2^63 - 1";
}

/// The same for a number of threads.
std::string threadsFault(const std::string& text) {
  constexpr int kMost = 1024;
  int threads = 0;
  const auto end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, threads);
  const bool good = error == std::errc() && stop == end && threads >= 1 && threads <= kMost;
  return good ? ""
              : "found " + inQuotes(text) + ", allowed is a whole number from 1 to " +
                    std::to_string(kMost);
}

/// The same for a kind of card.
std::string cardFault(const std::string& text) {
  return text == "quick" || text == "full"
             ? ""
             : "found " + inQuotes(text) + ", allowed is --card, --card quick or --card full";
}

/// "--card full" as one word: what follows --card is its kind or the next argument.
std::vector<std::string> withCardJoined(const std::vector<std::string>& arguments) {
  std::vector<std::string> result;
  for (const std::string& word : arguments) {
    const bool isKind = word == "quick" || word == "full";
    if (isKind && !result.empty() && result.back() == "--card") {
      result.back() += "=" + word;
    } else {
      result.push_back(word);
    }
  }
  return result;
}

void addRunOptions(CLI::App& verb, Arguments& arguments) {
  verb.add_option("--threads", arguments.threads,
                  "Threads; by default one for each core it may use")
      ->check(threadsFault)
      ->type_name("N");
  verb.add_option("--seed", arguments.seed,
                  "Another packing of the same bed, instead of the file's")
      ->check(seedFault)
      ->type_name("S");
}

CLI::App& addVerb(CLI::App& app, const std::string& name, const std::string& what,
                  const std::string& example) {
  CLI::App& verb = *app.add_subcommand(name, what);
  verb.footer("\nExample:\n  " + example);
  return verb;
}

void addVerbs(CLI::App& app, Arguments& arguments) {
  CLI::App& survey =
      addVerb(app, "survey", "Bench numbers of an anchor: mass, balance, areas, angles",
              "holdground survey scenarios/anchors/scoop-20kg.toml --units us");
  survey.add_option("ANCHOR.toml", arguments.file, "The anchor file")->required()->type_name("");
  addReportOptions(survey, arguments);

  CLI::App& bed = addVerb(app, "bed", "Settle a bed and keep it",
                          "holdground bed scenarios/beds/loose-sand.toml --card");
  bed.add_option("BED.toml", arguments.file, "The bed file")->required()->type_name("");
  bed.add_option("-o,--output", arguments.output,
                 "Also keep the bed in this file; with --calibrate, write the new bed file there")
      ->type_name("FILE");
  CLI::Option* card =
      bed.add_flag("--card{quick}", arguments.card,
                   "Measure it too: friction angle or strength, dilatancy, K0, slope after a cut; "
                   "--card full: also by T-bar, vane, cone and plates")
          ->check(cardFault);
  bed.add_flag("--calibrate", arguments.calibrate,
               "Find grains that measure what the file's [target] asks for")
      ->excludes(card);
  addRunOptions(bed, arguments);
  addReportOptions(bed, arguments);

  CLI::App& pull = addVerb(app, "pull", "Run a trial: drag an anchor through a bed",
                           "holdground pull scenarios/trials/standard-pull.toml -o out/standard");
  pull.add_option("TRIAL.toml", arguments.file, "The trial file")->required()->type_name("");
  pull.add_option("-o,--output", arguments.output, "Folder for the record and the results")
      ->required()
      ->type_name("DIR");
  pull.add_flag("--resume", arguments.resume, "Go on from the checkpoint in the folder");
  addRunOptions(pull, arguments);
  addReportOptions(pull, arguments);

  CLI::App& probe =
      addVerb(app, "probe", "Lead or push bodies through a bed and read the reactions",
              "holdground probe scenarios/probes/plate-pull.toml -o out/plate");
  probe.add_option("PROBE.toml", arguments.file, "The probe file")->required()->type_name("");
  probe.add_option("-o,--output", arguments.output, "Folder for the results")
      ->required()
      ->type_name("DIR");
  addRunOptions(probe, arguments);
  addReportOptions(probe, arguments);

  addVerb(app, "view", "Charts, picture and film of a run (holdground-view)",
          "holdground view out/standard");
  addVerb(app, "keys", "Reference of all keys of the scenario files, as Markdown",
          "holdground keys");
}

int survey(const Arguments& arguments, const Engine& engine) {
  const SurveyOptions options{arguments.report(), DisplayUnits::parse(arguments.units)};
  return engine.survey(readAnchorFile(arguments.file), options);
}

int bed(const Arguments& arguments, const Engine& engine) {
  BedOptions options;
  if (!arguments.output.empty()) options.output = arguments.output;
  options.threads = arguments.threads;
  options.work = arguments.calibrate ? BedWork::kCalibrate : BedWork::kSettle;
  options.card = arguments.card.empty()     ? CardKind::kTile
                 : arguments.card == "full" ? CardKind::kFull
                                            : CardKind::kQuick;
  options.report = arguments.report();
  options.units = DisplayUnits::parse(arguments.units);
  BedRecipe recipe = readBedFile(arguments.file);
  if (arguments.seed >= 0) recipe.seed = static_cast<std::uint64_t>(arguments.seed);
  return engine.bed(recipe, options);
}

int pull(const Arguments& arguments, const Engine& engine) {
  PullOptions options;
  options.output = arguments.output;
  options.threads = arguments.threads;
  options.start = arguments.resume ? StartMode::kResume : StartMode::kFresh;
  options.report = arguments.report();
  options.units = DisplayUnits::parse(arguments.units);
  TrialSpec trial = readTrialFile(arguments.file);
  if (arguments.seed >= 0) {
    trial.seed = trial.bed.seed = static_cast<std::uint64_t>(arguments.seed);
  }
  return engine.pull(trial, options);
}

int probe(const Arguments& arguments, const Engine& engine) {
  ProbeOptions options;
  options.output = arguments.output;
  options.threads = arguments.threads;
  options.report = arguments.report();
  options.units = DisplayUnits::parse(arguments.units);
  ProbeSpec spec = readProbeFile(arguments.file);
  if (arguments.seed >= 0) spec.seed = spec.bed.seed = static_cast<std::uint64_t>(arguments.seed);
  return engine.probe(spec, options);
}

/// One line for a wrong command line.
InputError usageError(const CLI::ParseError& error, const std::vector<std::string>& arguments,
                      const CLI::App& app) {
  std::vector<std::string> verbs;
  for (const CLI::App* verb : app.get_subcommands({})) verbs.push_back(verb->get_name());
  std::string text = onOneLine(error.what(), 300);
  std::string help = "holdground --help";
  // The library's own message has the words in reverse.
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr) {
    text = "found " + onOneLine(CLI::detail::join(app.remaining(true), " "), 300) +
           ", which is not allowed here";
  }
  if (!arguments.empty() && std::find(verbs.begin(), verbs.end(), arguments[0]) != verbs.end()) {
    help = "holdground " + arguments[0] + " --help";
  } else if (!arguments.empty()) {
    const auto near = nearestName(arguments[0], verbs);
    text = "found " + inQuotes(arguments[0]) + ", allowed is one of " + joined(verbs) +
           (near ? "; did you mean " + *near + "?" : "");
  }
  return InputError(text + " (see " + help + ")");
}

}  // namespace

int runCommandLine(const std::vector<std::string>& arguments, const Engine& engine,
                   std::ostream& out) {
  if (!arguments.empty() && arguments[0] == "view") {
    engine.view({arguments.begin() + 1, arguments.end()});
    return kDone;
  }
  CLI::App app("holdground drags a meshed small-craft anchor through a bed of single grains.",
               "holdground");
  app.set_version_flag("--version", std::string("holdground ") + versionString());
  app.require_subcommand(1);
  app.footer(std::string("\nholdground VERB --help shows an example of each.\n") + kExitStatuses);
  Arguments found;
  addVerbs(app, found);
  try {
    const std::vector<std::string> words = withCardJoined(arguments);
    app.parse(std::vector<std::string>(words.rbegin(), words.rend()));
  } catch (const CLI::CallForHelp&) {
    const auto chosen = app.get_subcommands();
    out << (chosen.empty() ? app.help() : chosen[0]->help("holdground"));
    return kDone;
  } catch (const CLI::CallForVersion& version) {
    out << version.what() << '\n';
    return kDone;
  } catch (const CLI::ParseError& error) {
    throw usageError(error, arguments, app);
  }
  if (app.got_subcommand("survey")) return survey(found, engine);
  if (app.got_subcommand("bed")) return bed(found, engine);
  if (app.got_subcommand("pull")) return pull(found, engine);
  if (app.got_subcommand("probe")) return probe(found, engine);
  out << keyReference();
  return kDone;
}

int runGuarded(const std::vector<std::string>& arguments, const Engine& engine, std::ostream& out,
               std::ostream& err) {
  const auto report = [&err](const std::string& text, ExitStatus status) {
    err << "holdground: " << text << std::endl;
    return static_cast<int>(status);
  };
  try {
    const int status = runCommandLine(arguments, engine, out);
    out.flush();
    if (!out) throw SystemError("standard output cannot be written");
    return status;
  } catch (const InputError& error) {
    return report(error.what(), kBadInput);
  } catch (const SystemError& error) {
    return report(error.what(), kSystemFault);
  } catch (const SimulationError& error) {
    return report(error.what(), kBedLost);
  } catch (const std::filesystem::filesystem_error& error) {
    return report(error.what(), kSystemFault);
  } catch (const std::bad_alloc&) {
    return report("not enough memory", kSystemFault);
  } catch (const std::exception& error) {
    return report(std::string("internal fault: ") + error.what(), kInternalFault);
  }
}

}  // namespace holdground
