#include "postprocess/measure/measures.hpp"

#include <algorithm>

#include "postprocess/measure/percentile.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

/// The description without what takes room.
RunDescription slim(const RunDescription& run) {
  RunDescription copy = run;
  copy.scenarioTexts.clear();
  copy.bed.referencePosition = {};
  copy.bed.radius = {};
  copy.bed.frozen = {};
  copy.bed.grainId = {};
  for (auto& part : copy.anchor.parts) part.mesh = {};
  return copy;
}

double stored(const SeriesRow& row) {
  return row.energyKinetic + row.energyElasticNormal + row.energyElasticTangential +
         row.energyElasticRolling;
}

}  // namespace

EnergyBalance balance(const SeriesRow& first, const SeriesRow& last) {
  const auto change = [&](double SeriesRow::*term) { return last.*term - first.*term; };
  EnergyBalance energy;
  energy.workIn = change(&SeriesRow::energyRode) - change(&SeriesRow::energyPotential) +
                  change(&SeriesRow::energyPrescribed);
  energy.stored = stored(last) - stored(first);
  energy.friction = change(&SeriesRow::energyFriction);
  energy.damping =
      change(&SeriesRow::energyNormalDamping) + change(&SeriesRow::energyTangentialDamping);
  energy.rolling = change(&SeriesRow::energyRolling);
  energy.plastic = change(&SeriesRow::energyPlastic);
  energy.waterDrag = change(&SeriesRow::energyWaterDrag);
  energy.historyArtefact = change(&SeriesRow::energyHistoryArtefact);
  energy.residual = energy.workIn - energy.stored - energy.friction - energy.damping -
                    energy.rolling - energy.plastic - energy.waterDrag - energy.historyArtefact;
  return energy;
}

std::optional<double> Measures::holding() const {
  if (atSpeed) return atSpeed->mean;
  return held;
}

std::optional<double> Measures::efficiency() const {
  if (!holding() || run.anchor.weight <= 0.0) return std::nullopt;
  return *holding() / run.anchor.weight;
}

Measures measure(const RunDescription& run, const std::vector<SeriesRow>& series,
                 const std::optional<RunClosing>& closing) {
  if (series.empty()) throw InputError("the record has no sample yet");
  Measures result;
  result.run = slim(run);
  result.closing = closing;
  result.samples = series.size();
  result.last = series.back();
  if (run.loadMode == LoadMode::kPrescribedSpeed)
    result.atSpeed = holdingAtSpeed(series);
  else
    result.held = heldLoad(series, run.holdDuration, run.holdDriftInLengths * run.anchor.length);

  const auto start = std::find_if(series.begin(), series.end(),
                                  [](const SeriesRow& row) { return row.time >= 0.0; });
  if (start != series.end()) result.startSpeed = start->anchorSpeed;
  result.peakLoad = series[0].horizontalLoad;
  result.greatestToeEmbedment = series[0].toeEmbedment;
  for (const auto& row : series) {
    result.peakLoad = std::max(result.peakLoad, row.horizontalLoad);
    result.greatestToeEmbedment = std::max(result.greatestToeEmbedment, row.toeEmbedment);
    result.overlapMedian = std::max(result.overlapMedian, row.overlapMedian);
    result.overlapP99 = std::max(result.overlapP99, row.overlapP99);
    result.overlapMaximum = std::max(result.overlapMaximum, row.overlapMaximum);
    result.inertialMaximum = std::max(result.inertialMaximum, row.inertialNumber);
    result.throughSteelPairs = std::max(result.throughSteelPairs, row.throughSteelPairs);
    result.flags |= row.flags;
  }
  std::vector<double> inertial, throughSteel;
  for (std::size_t k = result.atSpeed ? result.atSpeed->firstSample : 0; k < series.size(); ++k)
    if (series[k].time >= 0.0) {
      inertial.push_back(series[k].inertialNumber);
      throughSteel.push_back(series[k].throughSteelShare);
    }
  result.inertialMean = mean(inertial);
  result.throughSteelShare = mean(throughSteel);
  result.energy = balance(series.front(), series.back());
  return result;
}

}  // namespace holdground
