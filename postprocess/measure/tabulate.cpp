#include <fmt/format.h>

#include <cmath>

#include "postprocess/measure/measures.hpp"

namespace holdground {
namespace {

using enum Dimension;

constexpr double kLevel = 1e-3 * kPi / 180.0;  // a rise below this is rounding [rad]

MeasureValue orNothing(const std::optional<double>& value) {
  if (value && std::isfinite(*value)) return *value;
  return {};
}

void addRun(const Measures& m, std::vector<MeasureLine>& lines) {
  const RunDescription& run = m.run;
  const bool speed = run.loadMode == LoadMode::kPrescribedSpeed;
  lines.insert(
      lines.end(),
      {{"trial", kNumber, "trial", "name of the trial", run.trialName},
       {"anchor", kNumber, "anchor", "name of the anchor", run.anchor.name},
       {"bed", kNumber, "bed", "name of the bed", run.bed.name},
       {"bed_hash", kNumber, nullptr, "hash of the recipe the bed's tile was settled from",
        run.bed.hash},
       {"load_mode", kNumber, "mode", "what the schedule prescribes at the shackle",
        std::string(speed ? "prescribed speed" : "prescribed load")},
       {"complete", kNumber, nullptr, "whether the run ended in an orderly way",
        m.closing.has_value()},
       {"end_reason", kNumber, "ended", "why the run ended",
        m.closing ? MeasureValue(m.closing->endReason) : MeasureValue()},
       {"anchor_mass", kMass, nullptr, "mass of the anchor in air", run.anchor.mass},
       {"anchor_weight", kForce, "weight in air", "weight of the anchor in air", run.anchor.weight},
       {"anchor_length", kLength, nullptr,
        "length of the anchor over all, along the chord from heel to toe", run.anchor.length}});
}

void addHolding(const Measures& m, std::vector<MeasureLine>& lines) {
  const auto& speed = m.atSpeed;
  const auto field = [&](double SpeedHolding::*member) {
    return speed ? orNothing((*speed).*member) : MeasureValue();
  };
  lines.insert(
      lines.end(),
      {{"holding", kForce, "holding",
        "prescribed speed: holding_mean; prescribed load: holding_kept", orNothing(m.holding())},
       {"efficiency", kNumber, "holding / weight in air", "holding over the anchor's weight in air",
        orNothing(m.efficiency())},
       {"holding_mean", kForce, nullptr,
        "prescribed speed: mean horizontal load at the shackle over the samples, even in time, of "
        "the last metre of drift",
        field(&SpeedHolding::mean)},
       {"holding_p90", kForce, "90th percentile, last metre",
        "prescribed speed: 90th percentile of the same samples, linear between order statistics",
        field(&SpeedHolding::percentile90)},
       {"holding_drift", kLength, nullptr,
        "prescribed speed: drift averaged over; below one metre when the pull was shorter",
        field(&SpeedHolding::averagedDrift)},
       {"holding_kept", kForce, nullptr,
        "prescribed load: greatest load never gone below for hold_duration of trial time while the "
        "drift changed by less than hold_drift; null when none was",
        orNothing(m.held)},
       {"hold_duration", kTime, nullptr, "trial time a load must be kept to count as held",
        m.run.holdDuration},
       {"hold_drift", kLength, nullptr, "drift below which a load counts as held",
        m.run.holdDriftInLengths * m.run.anchor.length},
       {"peak_load", kForce, "peak load", "greatest horizontal load at the shackle in the pull",
        m.peakLoad},
       {"peak_drift", kLength, nullptr, "prescribed speed: drift at the peak",
        field(&SpeedHolding::peakDrift)},
       {"start_speed", kSpeed, nullptr,
        "speed of the anchor when the pull began; it should lie still on the bed", m.startSpeed},
       {"drift", kLength, "drift", "way of the shackle along the pull, at the end", m.last.drift}});
}

void addPose(const Measures& m, std::vector<MeasureLine>& lines) {
  const SeriesRow& last = m.last;
  lines.insert(lines.end(),
               {{"toe_embedment", kLength, "toe below the bed",
                 "depth of the toe below z = 0 at the end", last.toeEmbedment},
                {"heel_embedment", kLength, "heel below the bed",
                 "depth of the heel below z = 0 at the end", last.heelEmbedment},
                {"shackle_embedment", kLength, "shackle below the bed",
                 "depth of the shackle below z = 0 at the end", last.shackleEmbedment},
                {"toe_embedment_max", kLength, nullptr, "greatest depth of the toe in the pull",
                 m.greatestToeEmbedment},
                {"pitch", kAngle, "pitch, toe down", "attitude at the end, positive toe below heel",
                 last.pitch},
                {"list", kAngle, "list, to starboard",
                 "attitude at the end, positive starboard side down", last.list},
                {"heading", kAngle, "heading, toe to port",
                 "attitude at the end against the direction of the pull, positive toe to port",
                 last.heading},
                {"rode_elevation", kAngle, "rise of the rode at the shackle",
                 "rise of the rode at the shackle above the horizontal at the end; grows as the "
                 "shackle sinks below a boat end that stays at its height",
                 std::abs(last.rodeElevation) < kLevel ? 0.0 : last.rodeElevation},
                {"buried_share", kNumber, "buried share of the fluke",
                 "share of the fluke's surface below z = 0 at the end", last.buriedShare},
                {"near_side", kNumber, nullptr,
                 "the bed repeats: the ground the anchor moves, two fluke widths about "
                 "it, met ground already ploughed or that of its own image",
                 (m.flags & kNearSide) != 0},
                {"bed_widths", kNumber, nullptr,
                 "width of the bed as laid, over that of the fluke; below four the anchor may feel "
                 "its own image",
                 orNothing(m.widthsAcross())},
                {"near_bottom", kNumber, nullptr,
                 "the anchor came within three grains or a quarter of the fluke's width of the "
                 "frozen bottom",
                 (m.flags & kNearBottom) != 0}});
}

void addQuality(const Measures& m, std::vector<MeasureLine>& lines) {
  const EnergyBalance& e = m.energy;
  const std::optional<double> share =
      e.workIn != 0.0 ? std::optional(e.residual / e.workIn) : std::nullopt;
  lines.insert(
      lines.end(),
      {{"work_in", kEnergy, nullptr,
        "work by the rode, by gravity less buoyancy and by prescribed motion since the first "
        "sample",
        e.workIn},
       {"energy_stored", kEnergy, nullptr, "change of kinetic and elastic energy", e.stored},
       {"energy_friction", kEnergy, nullptr, "lost to sliding", e.friction},
       {"energy_damping", kEnergy, nullptr, "lost to normal and tangential damping", e.damping},
       {"energy_rolling", kEnergy, nullptr, "lost to rolling resistance", e.rolling},
       {"energy_plastic", kEnergy, nullptr, "lost to dents in cohesive contacts", e.plastic},
       {"energy_water_drag", kEnergy, nullptr, "lost to the water", e.waterDrag},
       {"energy_history_artefact", kEnergy, nullptr,
        "lost (+) or made (-) by the rule that rescales tangential springs", e.historyArtefact},
       {"energy_residual", kEnergy, nullptr, "work_in less stored less all that was lost",
        e.residual},
       {"energy_residual_share", kNumber, "energy residual / work in",
        "energy_residual over work_in", orNothing(share)},
       {"overlap_p50", kNumber, nullptr,
        "greatest in the pull of the median overlap over the smaller diameter", m.overlapMedian},
       {"overlap_p99", kNumber, "overlap / diameter, 99th percentile",
        "greatest in the pull of the 99th percentile of overlap over the smaller diameter",
        m.overlapP99},
       {"overlap_max", kNumber, nullptr, "greatest overlap over the smaller diameter",
        m.overlapMaximum},
       {"steel_overlap_max", kNumber, "overlap with steel / diameter, max",
        "largest overlap of a grain with steel over its diameter, in the whole run; half a "
        "diameter less the setback is all there is before the centre passes",
        m.last.steelOverlapMaximum},
       {"steel_passages", kNumber, nullptr,
        "grains whose centre passed through the surface of the steel, in the whole run",
        m.last.steelPassages},
       {"through_steel_pairs", kNumber, nullptr,
        "greatest number at one time of touching grains whose line of centres crosses steel",
        m.throughSteelPairs},
       {"through_steel_share", kNumber, nullptr,
        "sum of the normal forces of such pairs over that of the normal forces on steel; mean over "
        "the samples of the holding at prescribed speed, over all at prescribed load",
        orNothing(m.throughSteelShare)},
       {"inertial_number", kNumber, "inertial number",
        "mean over the samples of the holding at prescribed speed, over all at prescribed load",
        orNothing(m.inertialMean)},
       {"inertial_number_max", kNumber, nullptr, "greatest in the pull", m.inertialMaximum}});
}

void addMachine(const Measures& m, std::vector<MeasureLine>& lines) {
  const RunDescription& run = m.run;
  const auto closing = [&](auto value) {
    return m.closing ? MeasureValue(value()) : MeasureValue();
  };
  lines.insert(
      lines.end(),
      {{"state_hash", kNumber, "state hash",
        "hash of the last state of all grains and the anchor, hexadecimal; null when the run did "
        "not end in an orderly way",
        closing([&] { return fmt::format("{:016x}", m.closing->stateHash); })},
       {"program_version", kNumber, nullptr, "version of the program", run.programVersion},
       {"kernel", kNumber, nullptr, "grain kernel that ran", run.kernel},
       {"threads", kNumber, nullptr, "threads used", static_cast<std::uint64_t>(run.threads)},
       {"seed", kNumber, nullptr, "first seed of the random numbers",
        run.seeds.empty() ? MeasureValue() : MeasureValue(run.seeds[0])},
       {"grains", kNumber, "grains", "grains of the bed", run.bed.grainCount},
       {"young_modulus", kPressure, nullptr, "softened modulus of the contact law",
        run.bed.youngModulus},
       {"time_step", kTime, nullptr, "time step", run.timeStep},
       {"samples", kNumber, nullptr, "samples of the series", std::uint64_t{m.samples}},
       {"steps", kNumber, nullptr, "steps of the whole run, settling of the anchor included",
        m.last.step},
       {"simulated_time", kTime, "simulated time", "simulated time of the last sample",
        m.last.time},
       {"trial_time", kTime, nullptr, "time of the trial at the last sample, as a tester counts it",
        m.last.trialTime},
       {"wall_time", kTime, "took", "time the run took; null when it did not end in an orderly way",
        closing([&] { return m.closing->wallTime; })}});
}

}  // namespace

std::vector<MeasureLine> tabulate(const Measures& measures) {
  std::vector<MeasureLine> lines;
  addRun(measures, lines);
  addHolding(measures, lines);
  addPose(measures, lines);
  addQuality(measures, lines);
  addMachine(measures, lines);
  return lines;
}

std::string siSymbol(Dimension dimension) {
  for (const Unit& unit : allUnits())
    if (unit.dimension == dimension) return unit.symbol.empty() ? "1" : std::string(unit.symbol);
  return "1";
}

}  // namespace holdground
