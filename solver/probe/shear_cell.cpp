#include "solver/probe/shear_cell.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/probe/glued_plate.hpp"

namespace holdground {
namespace {

constexpr double kGluedDepth = 1.25;  // centres this near the surface are glued, largest diameters
// The plate's dashpot takes the pressing force at these speeds, in mean diameters a second: slow
// while it is pressed, so that it does not ring, and hardly felt while it is sheared.
constexpr double kPressingSpeed = 1.0;
constexpr double kFreeSpeed = 50.0;
constexpr double kQuietSpeed = 0.005;     // of the plate when pressing ends, over kPressingSpeed
constexpr double kQuietTime = 0.05;       // how long it stays below [s]
constexpr double kLongestPressing = 3.0;  // [s]
constexpr double kRampStrain = 0.02;      // over which the plate comes up to speed
constexpr double kLeastHeight = 5.0;      // of the sheared tile, over the mean diameter

double largestDiameter(const GrainSet& set) {
  return 2.0 * *std::max_element(set.radius.begin(), set.radius.end());
}

class Cell {
 public:
  Cell(const GrainSet& tile, const ShearCellSettings& settings)
      : settings_(settings),
        stress_(std::max(settings.packingStress, settings.normalStress)),
        area_(tile.domain.lengthX * tile.domain.lengthY),
        diameter_(meanVolumeDiameter(tile, settings.material.density)),
        kernel_(makeKernel(settings.kernel, tile, kernelSettings(settings))),
        plate_(tile, -kGluedDepth * largestDiameter(tile), settings.material, drive(0.0, 1.0)) {
    double top = tile.domain.floorZ;  // of the held grains
    for (std::size_t k = 0; k < tile.size(); ++k)
      if (tile.frozen[k] != 0) top = std::max(top, tile.position[k].z() + tile.radius[k]);
    bottom_ = top;
  }

  /// Until the plate rests under a stress [Pa].
  void press(double stress) {
    stress_ = stress;
    plate_.body().setDrive(drive(0.0, kPressingSpeed));
    double quiet = 0.0;
    const double latest = time() + kLongestPressing;
    while (quiet < kQuietTime && time() < latest) {
      advance();
      const bool loaded = plateForce().z() > 0.5 * stress;
      const bool slow =
          std::abs(plate_.body().motion().velocity.z()) < kQuietSpeed * kPressingSpeed * diameter_;
      quiet = loaded && slow ? quiet + settings_.timeStep : 0.0;
    }
    startHeight_ = height();
    if (startHeight_ < kLeastHeight * diameter_)
      throw InputError(fmt::format(
          "shear cell: {:.3g} m between lid and held layer; allowed from {:.3g} m, five diameters",
          startHeight_, kLeastHeight * diameter_));
  }

  /// One step at a rate of shear, from rest by a ramp.
  void shear(double rate) {
    const double ramp = std::min(1.0, 0.05 + strain() / kRampStrain);
    plate_.body().setDrive(drive(ramp * rate * startHeight_, kFreeSpeed));
    advance();
  }

  double strain() const { return plate_.body().motion().pivot.x() / startHeight_; }
  double diameter() const { return diameter_; }
  std::uint64_t grainSteps() const { return step_ * kernel_->size(); }

  ShearReading read() const {
    const double h = height();
    return {strain(), sliceState(*kernel_, {bottom_ + 0.25 * h, bottom_ + 0.75 * h}), plateForce(),
            h};
  }

 private:
  static KernelSettings kernelSettings(const ShearCellSettings& settings) {
    KernelSettings kernel;
    kernel.material = settings.material;
    kernel.water.density = 0.0;
    kernel.gravity = 0.0;
    kernel.timeStep = settings.timeStep;
    return kernel;
  }

  BodyDrive drive(double velocity, double dashpotSpeed) const {
    const double force = stress_ * area_;
    BodyDrive result;
    result.axis[0] = AxisDrive::velocity(velocity);
    result.axis[2] = AxisDrive::force(-force, force / (dashpotSpeed * diameter_));
    return result;
  }

  void advance() {
    const bool moved = kernel_->updateNeighbours();
    plate_.hold(*kernel_, moved || step_ == 0, settings_.timeStep);
    kernel_->advance();
    plate_.move(settings_.timeStep);
    ++step_;
  }

  double time() const { return static_cast<double>(step_) * settings_.timeStep; }
  double height() const { return plate_.underside() - bottom_; }
  Vec3 plateForce() const { return plate_.reaction() / area_; }

  ShearCellSettings settings_;
  double stress_;  ///< on the plate [Pa]
  double area_, diameter_;
  double bottom_ = 0.0;
  std::unique_ptr<GrainKernel> kernel_;
  GluedPlate plate_;
  double startHeight_ = 1.0;
  std::uint64_t step_ = 0;
};

}  // namespace

ShearRecord shearTile(const GrainSet& tile, const ShearCellSettings& settings,
                      const ProbeProgress& progress) {
  Cell cell(tile, settings);
  if (settings.packingStress > settings.normalStress) cell.press(settings.packingStress);
  cell.press(settings.normalStress);
  ShearRecord record;
  record.settings = settings;
  record.meanDiameter = cell.diameter();
  record.rate = settings.inertialNumber *
                std::sqrt(settings.normalStress / settings.material.density) / cell.diameter();
  record.pressed = cell.read();
  for (int k = 1; k <= settings.readings; ++k) {
    while (cell.strain() < settings.strain * k / settings.readings) cell.shear(record.rate);
    record.readings.push_back(cell.read());
    if (progress) progress(static_cast<double>(k) / settings.readings, cell.grainSteps());
  }
  return record;
}

double meanVolumeDiameter(const GrainSet& grains, double density) {
  const auto sphere = [&](std::size_t k) {
    return 4.0 / 3.0 * kPi * std::pow(grains.radius[k], 3);
  };
  double volume = 0.0;
  std::size_t count = 0;
  for (std::size_t k = 0; k < grains.size(); ++k) {
    // Held spheres of stones are no longer known as parts of them.
    if (grains.frozen[k] != 0 && !grains.stones.empty()) continue;
    volume += sphere(k);
    ++count;
  }
  for (const Stone& stone : grains.stones) {
    volume += stone.mass / density;
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k) volume -= sphere(stone.firstSphere + k);
    count -= stone.sphereCount() - 1;
  }
  if (count == 0) throw InputError("probe: the bed has no grain that can move");
  return std::cbrt(6.0 / kPi * volume / static_cast<double>(count));
}

}  // namespace holdground
