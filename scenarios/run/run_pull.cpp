#include <fmt/format.h>

#include <iostream>

#include "postprocess/measure/measures.hpp"
#include "postprocess/measure/summary.hpp"
#include "postprocess/measure/whole_file.hpp"
#include "postprocess/read/record_reader.hpp"
#include "scenarios/cli/interrupt.hpp"
#include "scenarios/run/pull_session.hpp"
#include "scenarios/run/run.hpp"

namespace holdground {

int runPull(const TrialSpec& trial, const PullOptions& options) {
  EndReason end;
  {
    PullSession session(trial, options);
    end = session.run();
    if (end == EndReason::kInterrupted) {
      std::cerr << fmt::format("stopped at {:.3f} s; go on with --resume\n",
                               session.simulation().time());
      return InterruptGuard::exitStatus() != 0 ? InterruptGuard::exitStatus() : 1;
    }
  }
  const RecordReader record(options.output / "record.h5");
  const std::vector<SeriesRow> series = record.readSeries();
  const Measures measures = measure(record.description(), series, record.closing());
  const std::string summary = summaryJson(measures);
  writeWhole(options.output / "summary.json", summary);
  writeWhole(options.output / "results.txt", resultsTable(measures, options.units));
  writeWhole(options.output / "series.csv", seriesCsv(record.description(), series));
  // The run is complete: nothing is left to resume.
  std::error_code ignored;
  std::filesystem::remove(options.output / "checkpoint.bin", ignored);
  std::cout << (options.report == ReportStyle::kJson ? summary
                                                     : resultsTable(measures, options.units));
  return end == EndReason::kLost ? kBedLost : kDone;
}

}  // namespace holdground
