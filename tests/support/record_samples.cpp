#include "tests/support/record_samples.hpp"

namespace holdground::samples {

RunDescription description(std::size_t grains) {
  RunDescription run;
  run.programVersion = "9.9.9-test";
  run.buildFlags = "invented flags";
  run.trialName = "invented trial";
  run.loadMode = LoadMode::kPrescribedLoad;
  run.kernel = "reference";
  run.threads = 3;
  run.seeds = {7, 0xffffffffffffffffull};
  run.timeStep = 1.25e-4;
  run.sampleInterval = 0.01;
  run.frameInterval = 0.1;
  run.scenarioTexts = {{"anchor", "# anchor\n"}, {"bed", ""}, {"trial", "[trial]\nname = \"ü\"\n"}};
  run.papers = {"Hertz 1882", "Mindlin and Deresiewicz 1953"};
  run.cautions = {"one seed"};
  run.anchor.name = "invented scoop";
  run.anchor.mass = 20.25;
  run.anchor.weight = 20.25 * kStandardGravity;
  run.anchor.length = 0.875;
  run.anchor.flukeWidth = 0.4;
  run.anchor.centreOfMass = {0.1, 0.0, 0.05};
  run.anchor.shackle = {0.8, 0.0, 0.3};
  run.anchor.toe = {0.4, 0.0, -0.1};
  run.anchor.heel = {-0.1, 0.0, 0.0};
  for (const char* name : {"fluke", "shank"}) {
    PartDescription part;
    part.name = name;
    part.digest = "00ff";
    part.density = 7850.0;
    part.friction = 0.3;
    part.mesh.vertices = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    part.mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
    run.anchor.parts.push_back(part);
  }
  run.bed.name = "invented sand";
  run.bed.hash = "cafe";
  run.bed.card = "not measured";
  run.bed.lengthX = 2.0;
  run.bed.lengthY = 1.0;
  run.bed.youngModulus = 1e7;
  run.bed.tilesX = 2;
  run.bed.grainCount = 3 * grains;
  for (std::size_t k = 0; k < grains; ++k) {
    const double u = static_cast<double>(k) / static_cast<double>(grains);
    run.bed.referencePosition.emplace_back(2.0 * u - 1.0, 0.5 - u, -u);
    run.bed.grainId.push_back(static_cast<std::uint32_t>(3 * k));
    run.bed.radius.push_back(0.02 + 0.001 * u);
    run.bed.frozen.push_back(k % 5 == 0 ? 1 : 0);
    run.bed.layer.push_back(k % 3);
  }
  return run;
}

SeriesRow row(std::size_t index) {
  SeriesRow result;
  double value = static_cast<double>(index);
  const auto next = [&] { return value += 0.1; };
  for (const auto& column : kScalarColumns) result.*column.field = next();
  for (const auto& column : kVectorColumns) result.*column.field = Vec3(next(), next(), next());
  std::uint64_t count = 1000 * index;
  for (const auto& column : kCountColumns) result.*column.field = ++count;
  result.orientation = Quat(next(), next(), next(), next());
  for (int part = 0; part < 2; ++part) result.partForce.emplace_back(next(), next(), next());
  result.time = static_cast<double>(index) / 100.0;
  return result;
}

FrameData frame(const RunDescription& run, std::size_t index) {
  FrameData result;
  const double t = static_cast<double>(index);
  result.time = t / 10.0;
  result.bodyPosition = {t, 0.5, -0.25};
  result.orientation = Quat(0.5, -0.5, 0.5, -0.5);
  result.boatEnd = {t + 5.0, 0.0, 1.0};
  for (std::size_t k = 0; k < run.bed.radius.size(); ++k) {
    const double share = static_cast<double>(k % 97) / 97.0;
    result.grainPosition.push_back(run.bed.referencePosition[k] +
                                   Vec3(0.004 * t * share, -0.001 * t, 0.0005 * t * share));
    result.grainSpeed.push_back(static_cast<float>(0.4 * share));
  }
  return result;
}

RunClosing closing() {
  RunClosing result;
  result.endReason = "drag of 3 m reached";
  result.stateHash = 0x123456789abcdef0ull;
  result.steps = 60000;
  result.simulatedTime = 7.5;
  result.wallTime = 123.25;
  result.stages = {{"pair forces", 100.5, 60000}, {"integrate", 20.25, 60000}};
  result.log = "first line\n" + std::string(400, 'x') + "\nlast line\n";
  return result;
}

std::string difference(const SeriesRow& a, const SeriesRow& b) {
  for (const auto& column : kScalarColumns)
    if (a.*column.field != b.*column.field) return column.name;
  for (const auto& column : kVectorColumns)
    if (a.*column.field != b.*column.field) return column.name;
  for (const auto& column : kCountColumns)
    if (a.*column.field != b.*column.field) return column.name;
  if (a.orientation.coeffs() != b.orientation.coeffs()) return "orientation";
  if (a.partForce != b.partForce) return "part_force";
  return "";
}

}  // namespace holdground::samples
