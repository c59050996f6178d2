#include "scenarios/calibrate/trial_book.hpp"

#include "scenarios/card/kept_json.hpp"

namespace holdground {

using Json = nlohmann::ordered_json;

TrialBook::TrialBook(std::filesystem::path file) : file_(std::move(file)) {
  const Json kept = keptJson(file_, "trials");
  try {
    for (const Json& trial : kept.at("trials")) {
      const auto number = [&](const char* key) { return trial.at(key).get<double>(); };
      Figures figures;
      for (const auto& [name, pair] : trial.at("figures").items())
        figures[name] = {pair.at(0).get<double>(), pair.at(1).get<double>()};
      trials_[{number("friction"), number("rolling_friction"), number("pull_off_stress_Pa"),
               number("density_kg_per_m3")}] = figures;
    }
  } catch (const Json::exception&) {
    trials_.clear();
  }
}

Figures TrialBook::find(const ContactParameters& parameters) const {
  const auto found = trials_.find(parameters);
  return found == trials_.end() ? Figures{} : found->second;
}

void TrialBook::keep(const ContactParameters& parameters, const Figures& figures) {
  for (const auto& [name, estimate] : figures) trials_[parameters][name] = estimate;
  Json json;
  json["trials"] = Json::array();
  for (const auto& [p, known] : trials_) {
    Json trial;
    trial["friction"] = p.friction;
    trial["rolling_friction"] = p.rollingFriction;
    trial["pull_off_stress_Pa"] = p.pullOffStress;
    trial["density_kg_per_m3"] = p.density;
    for (const auto& [name, estimate] : known)
      trial["figures"][name] = {estimate.mean, estimate.standardError};
    json["trials"].push_back(trial);
  }
  keepJson(file_, json, "the trial");
}

}  // namespace holdground
