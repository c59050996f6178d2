#include "tests/support/synthetic_record.hpp"

#include <cmath>
#include <utility>

#include "solver/record/record_writer.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {
namespace {

constexpr double kDuration = 2.0;    // [s]
constexpr double kPullSpeed = 0.4;   // [m/s]
constexpr double kDiameter = 0.06;   // [m]
constexpr double kLengthX = 1.5;     // [m]
constexpr double kLengthY = 0.9;     // [m]
constexpr double kBedDepth = 0.5;    // [m]
constexpr double kFarAbove = 100.0;  // [m]

PartDescription part(const std::string& name, const Vec3& low, const Vec3& high) {
  PartDescription description;
  description.name = name;
  description.mesh = test::boxMesh(low, high - low);
  description.density = 7850.0;
  description.friction = 0.3;
  return description;
}

void keepRegion(BedDescription& bed) {
  const std::vector<Vec3> all = std::exchange(bed.referencePosition, {});
  for (std::uint32_t id = 0; id < all.size(); ++id) {
    if (std::abs(all[id].x()) > kLengthX / 6.0) continue;
    bed.grainId.push_back(id);
    bed.referencePosition.push_back(all[id]);
  }
}

RunDescription describe(const SyntheticRecord& wish) {
  RunDescription run;
  run.trialName = "synthetic pull";
  run.kernel = "fast";
  run.sampleInterval = kDuration / 60.0;
  run.frameInterval = kDuration / 4.0;
  run.anchor.name = "two plates";
  run.anchor.mass = 20.0;
  run.anchor.weight = 196.0;
  run.anchor.length = 0.6;
  run.anchor.flukeWidth = 0.3;
  run.anchor.shackle = Vec3(0.3, 0.0, 0.2);
  const Vec3 lift(0.0, 0.0, wish.anchor == AnchorInPicture::No ? kFarAbove : 0.0);
  run.anchor.parts = {
      part("fluke", Vec3(-0.25, -0.15, -0.01) + lift, Vec3(0.25, 0.15, 0.01) + lift),
      part("shank", Vec3(-0.25, -0.006, 0.0) + lift, Vec3(0.3, 0.006, 0.22) + lift)};
  run.bed.name = "lattice";
  run.bed.lengthX = kLengthX;
  run.bed.lengthY = kLengthY;
  run.bed.floorZ = -kBedDepth;
  for (double x = -0.5 * kLengthX + 0.5 * kDiameter; x < 0.5 * kLengthX; x += kDiameter) {
    for (double y = -0.5 * kLengthY + 0.5 * kDiameter; y < 0.5 * kLengthY; y += kDiameter) {
      for (double z = -kBedDepth + 0.5 * kDiameter; z < 0.0; z += kDiameter) {
        run.bed.referencePosition.emplace_back(x, y, z);
      }
    }
  }
  if (wish.grains == GrainsKept::NearTheAnchor) keepRegion(run.bed);
  run.bed.radius.assign(run.bed.referencePosition.size(), 0.5 * kDiameter);
  run.bed.frozen.assign(run.bed.referencePosition.size(), 0);
  return run;
}

Vec3 bodyAt(double time) { return {kPullSpeed * time, 0.0, 0.1 - 0.1 * time}; }

SeriesRow rowAt(double time) {
  SeriesRow row;
  row.time = row.trialTime = time;
  row.drift = kPullSpeed * time;
  row.horizontalLoad = 600.0 * time * time * (1.0 + 0.1 * std::sin(40.0 * time));
  row.toeEmbedment = 0.2 * time;
  row.heelEmbedment = 0.1 * time;
  row.shackleEmbedment = 0.1 * time - 0.3;
  row.pitch = 0.3;
  row.anchorSpeed = kPullSpeed;
  row.centreOfMass = bodyAt(time);
  row.partForce.assign(2, Vec3::Zero());
  return row;
}

FrameData frameAt(double time, const BedDescription& bed) {
  FrameData frame;
  frame.time = time;
  frame.bodyPosition = bodyAt(time);
  frame.orientation = Eigen::AngleAxisd(0.3, Vec3::UnitY());
  frame.boatEnd = frame.bodyPosition + Vec3(20.0, 0.0, 0.2);
  frame.grainPosition = bed.referencePosition;
  for (const Vec3& grain : frame.grainPosition) {
    const double away = (grain - frame.bodyPosition).norm();
    frame.grainSpeed.push_back(static_cast<float>(kPullSpeed * std::exp(-away * away / 0.05)));
  }
  return frame;
}

}  // namespace

std::filesystem::path writeSyntheticRecord(const std::filesystem::path& directory,
                                           const SyntheticRecord& wish) {
  const std::filesystem::path path = directory / "record.h5";
  const RunDescription run = describe(wish);
  RecordWriter writer(path, run);
  const auto spread = [](std::size_t k, std::size_t count) {
    return count > 1 ? kDuration * static_cast<double>(k) / static_cast<double>(count - 1) : 0.0;
  };
  for (std::size_t k = 0; k < wish.samples; ++k)
    writer.appendSeries(rowAt(spread(k, wish.samples)));
  for (std::size_t k = 0; k < wish.frames; ++k) {
    writer.appendFrame(frameAt(spread(k, wish.frames), run.bed));
  }
  writer.close(RunClosing{});
  return path;
}

}  // namespace holdground
