#include <iostream>

#include "scenarios/run/build_anchor.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/survey_figures.hpp"
#include "solver/state/grain_material.hpp"

namespace holdground {

int runSurvey(const AnchorSpec& anchor, const SurveyOptions& options) {
  const Anchor built = buildAnchor(anchor);
  for (const std::string& line : overlapsOf(built)) std::cerr << "holdground: " << line << '\n';
  const Survey survey = surveyAnchor(built, Water().density);
  std::cout << (options.report == ReportStyle::kJson ? surveyJson(survey)
                                                     : surveyText(survey, options.units));
  return 0;
}

}  // namespace holdground
