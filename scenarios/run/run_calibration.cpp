#include <fmt/format.h>

#include <iostream>

#include "scenarios/calibrate/calibration_report.hpp"
#include "scenarios/calibrate/probe_bench.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/output_file.hpp"
#include "scenarios/run/run.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

int runCalibration(const BedRecipe& bed, const BedOptions& options) {
  if (bed.isStack())
    throw InputError(bed.source.path +
                     ": --calibrate: found a stack of layers, allowed is a bed of one soil: "
                     "calibrate each layer as one");
  if (!bed.target.any())
    throw InputError(bed.source.path +
                     ": --calibrate: found no target, allowed is [target] with any of "
                     "friction_angle, strength, unit_weight, repose");
  if (options.output.has_value()) checkOutputFile(*options.output, bed.source.path);
  Calibration asItIs;
  asItIs.found = parametersOf(bed);
  calibratedFile(bed, asItIs);  // a file that cannot be rewritten is refused before the search
  const std::string crowded = useThreads(options.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  const Calibration calibration =
      calibrate(bed, probeBench(bed), [](const std::string& line) { std::cerr << line << '\n'; });
  const std::string file = calibratedFile(bed, calibration);
  if (options.output.has_value()) writeTextFile(*options.output, file);
  if (options.report == ReportStyle::kJson) {
    nlohmann::ordered_json json = calibrationJson(bed, calibration);
    if (options.output.has_value()) json["output"] = options.output->string();
    std::cout << json.dump(2) << '\n';
  } else {
    std::cout << calibrationText(bed, calibration, options.units);
    if (options.output.has_value())
      std::cout << fmt::format("  {:<28}{}\n", "written to", options.output->string());
  }
  return kDone;
}

}  // namespace holdground
