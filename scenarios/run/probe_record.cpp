#include "scenarios/run/probe_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace holdground {

ProbeRecord::ProbeRecord(std::size_t bodies, double timeStep, double interval)
    : timeStep_(timeStep),
      stepsPerRow_(static_cast<std::uint64_t>(std::max(1.0, std::round(interval / timeStep)))),
      sums_(bodies) {}

void ProbeRecord::add(const ProbeSimulation& simulation, std::size_t phase) {
  phase_ = phase;
  for (std::size_t body = 0; body < sums_.size(); ++body) {
    if (!simulation.isPresent(body)) continue;
    const BodyLoad load = simulation.reaction(body);
    for (std::size_t k = 0; k < 3; ++k) {
      sums_[body][k] += load.force[static_cast<Eigen::Index>(k)];
      sums_[body][k + 3] += load.torque[static_cast<Eigen::Index>(k)];
    }
  }
  if (++steps_ == stepsPerRow_) endInterval(simulation);
}

void ProbeRecord::endInterval(const ProbeSimulation& simulation) {
  if (steps_ == 0) return;
  const auto count = static_cast<double>(steps_);
  ProbeRow row;
  row.time = simulation.time();
  row.duration = count * timeStep_;
  row.phase = phase_;
  for (std::size_t body = 0; body < sums_.size(); ++body) {
    ProbeBodyRow& cells = row.bodies.emplace_back();
    cells.isPresent = simulation.isPresent(body);
    if (cells.isPresent) {
      cells.position = simulation.motion(body).pivot;
      for (std::size_t k = 0; k < 6; ++k) cells.reaction[k] = sums_[body][k] / count;
    }
    sums_[body] = {};
  }
  rows_.push_back(std::move(row));
  steps_ = 0;
}

ProbePhaseFigures ProbeRecord::figures(std::size_t phase, std::size_t body) const {
  ProbePhaseFigures result;
  std::vector<const ProbeRow*> rows;
  for (const ProbeRow& row : rows_)
    if (row.phase == phase && row.bodies[body].isPresent) rows.push_back(&row);
  if (rows.empty()) return result;
  result.isPresent = true;
  result.way = rows.back()->bodies[body].position - rows.front()->bodies[body].position;
  for (std::size_t k = 0; k < 6; ++k) {
    double sum = 0.0, time = 0.0;
    for (const ProbeRow* row : rows) {
      sum += row->duration * row->bodies[body].reaction[k];
      time += row->duration;
    }
    result.mean[k] = sum / time;
    const double sign = result.mean[k] < 0.0 ? -1.0 : 1.0;
    std::vector<double> values;
    for (const ProbeRow* row : rows) values.push_back(sign * row->bodies[body].reaction[k]);
    std::sort(values.begin(), values.end());
    // Nearest rank.
    const auto rank = static_cast<std::size_t>(std::ceil(0.9 * static_cast<double>(values.size())));
    result.p90[k] = sign * values[rank - 1];
    result.peak[k] = sign * values.back();
  }
  return result;
}

std::string probeCsv(const ProbeSpec& spec, const std::vector<ProbeRow>& rows) {
  std::string text = "time [s],phase";
  for (const ProbeBodySpec& body : spec.bodies)
    for (const auto& [column, unit] :
         {std::pair{"position", "m"}, std::pair{"force", "N"}, std::pair{"torque", "N m"}})
      for (const char axis : {'x', 'y', 'z'})
        text += fmt::format(",{}.{}_{} [{}]", body.name, column, axis, unit);
  text += '\n';
  for (const ProbeRow& row : rows) {
    fmt::format_to(std::back_inserter(text), "{:.9g},{}", row.time, spec.phases[row.phase].name);
    for (const ProbeBodyRow& cells : row.bodies) {
      if (!cells.isPresent) {
        text += ",,,,,,,,,";
        continue;
      }
      for (const double place : cells.position)
        fmt::format_to(std::back_inserter(text), ",{:.9g}", place);
      for (const double component : cells.reaction)
        fmt::format_to(std::back_inserter(text), ",{:.9g}", component);
    }
    text += '\n';
  }
  return text;
}

}  // namespace holdground
