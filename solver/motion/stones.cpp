#include "solver/motion/stones.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

Stones::Stones(const GrainSet& set, const StoneSurroundings& surroundings)
    : surroundings_(surroundings), shapes_(set.stones) {
  if (shapes_.empty()) return;
  stoneOfSphere_.assign(set.size(), kNone);
  firstPlace_.assign(1, 0);
  for (std::size_t s = 0; s < shapes_.size(); ++s) {
    const Stone& stone = shapes_[s];
    if (stone.places.empty() || stone.places.size() > Stone::kMostSpheres ||
        std::size_t{stone.firstSphere} + stone.places.size() > set.size())
      throw InputError(fmt::format("stone {}: {} spheres from grain {}; allowed are 1 to {} grains",
                                   s, stone.places.size(), stone.firstSphere, Stone::kMostSpheres));
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k) {
      const std::uint32_t id = stone.firstSphere + k;
      if (stoneOfSphere_[id] != kNone || set.frozen[id] != 0)
        throw InputError(fmt::format(
            "stone {}: grain {} is held or of another stone; allowed is a free one", s, id));
      stoneOfSphere_[id] = static_cast<std::uint32_t>(s);
    }
    bodies_.emplace_back(
        stone.mass, Mat3(stone.inertia.asDiagonal()),
        RigidMotion{stone.centreOfMass, stone.orientation, stone.velocity, stone.spin});
    firstSphere_.push_back(stone.firstSphere);
    places_.insert(places_.end(), stone.places.begin(), stone.places.end());
    firstPlace_.push_back(static_cast<std::uint32_t>(places_.size()));
    const double volume = stone.mass / surroundings.density;
    double ofSpheres = 0.0;
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k)
      ofSpheres += 4.0 / 3.0 * kPi * std::pow(set.radius[stone.firstSphere + k], 3);
    fill_.push_back(volume / ofSpheres);
    dragRadiusSquared_.push_back(std::pow(3.0 * volume / (4.0 * kPi), 2.0 / 3.0));
  }
  exposed_.assign(size(), 0);
  waterDrag_.assign(size(), 0.0);
}

Stones::Pose Stones::pose(std::size_t stone) const {
  const RigidBody& body = bodies_[stone];
  return {body.rotation(), body.motion(), placesOf(stone)};
}

void Stones::prefetch(std::size_t stone) const {
  const auto load = [](const auto* object, std::size_t size) {
    const auto* bytes = reinterpret_cast<const char*>(object);
    for (std::size_t at = 0; at < size; at += 64) __builtin_prefetch(bytes + at);
  };
  load(&bodies_[stone], sizeof(RigidBody));
  load(placesOf(stone).data(), placesOf(stone).size_bytes());
}

StonePart Stones::part(std::uint32_t sphere) const {
  if (!isOfStone(sphere)) return {};
  const std::uint32_t s = stoneOfSphere_[sphere];
  const Stone& shape = shapes_[s];
  return {bodies_[s].motion().orientation * shape.places[sphere - shape.firstSphere],
          1.0 / shape.sphereCount(), fill_[s]};
}

BodyLoad Stones::drag(std::size_t stone, double timeStep) const {
  const Vec3& velocity = bodies_[stone].motion().velocity;
  const double perSpeed =
      surroundings_.dragFactor * dragRadiusSquared_[stone] * velocity.norm();  // [kg/s]
  // Never more than stops the stone within the step.
  return {-perSpeed / (1.0 + timeStep * perSpeed * inverseMass(stone)) * velocity, Vec3::Zero()};
}

void Stones::advance(std::size_t stone, std::span<const BodyLoad> loads, double timeStep) {
  RigidBody& body = bodies_[stone];
  const std::span<const Vec3> places = placesOf(stone);
  BodyLoad total;
  for (std::size_t k = 0; k < loads.size(); ++k) {
    const Vec3 arm = body.rotation() * places[k];
    total += {loads[k].force, loads[k].torque + arm.cross(loads[k].force)};
  }
  total.force.z() -= body.mass() * surroundings_.netGravity;
  if (exposed_[stone] == 0 || surroundings_.dragFactor == 0.0) {
    body.integrate(total, timeStep);
    return;
  }
  const BodyLoad braking = drag(stone, timeStep);
  total += braking;
  body.integrate(total, timeStep);
  waterDrag_[stone] -= body.workOf(braking);
}

void Stones::setExposed(const std::vector<std::uint8_t>& exposed) {
  for (std::size_t s = 0; s < size(); ++s) {
    const auto first = exposed.begin() + firstSphere(s);
    exposed_[s] = std::any_of(first, first + sphereCount(s), [](auto x) { return x != 0; });
  }
}

double Stones::kineticEnergy() const {
  double sum = 0.0;
  for (const RigidBody& body : bodies_) sum += body.kineticEnergy();
  return sum;
}

double Stones::potential() const {
  double sum = 0.0;
  for (const RigidBody& body : bodies_)
    sum += body.mass() * surroundings_.netGravity * body.motion().centreOfMass.z();
  return sum;
}

double Stones::waterDrag() const {
  double sum = 0.0;
  for (const double taken : waterDrag_) sum += taken;
  return sum;
}

std::uint64_t Stones::stateHash() const {
  std::uint64_t sum = 0;
  for (std::size_t s = 0; s < size(); ++s) {
    const std::vector<std::byte> bytes = bodies_[s].freeze();
    sum += hashText({reinterpret_cast<const char*>(bytes.data()), bytes.size()},
                    mixBits(~std::uint64_t{s}));
  }
  return sum;
}

void Stones::store(GrainSet& set) const {
  set.stones = shapes_;
  for (std::size_t s = 0; s < size(); ++s) {
    Stone& stone = set.stones[s];
    const RigidMotion& motion = bodies_[s].motion();
    stone.centreOfMass = motion.centreOfMass;
    stone.centreOfMass.x() -=
        set.domain.lengthX * std::round(stone.centreOfMass.x() / set.domain.lengthX);
    stone.centreOfMass.y() -=
        set.domain.lengthY * std::round(stone.centreOfMass.y() / set.domain.lengthY);
    stone.orientation = motion.orientation;
    stone.velocity = motion.velocity;
    stone.spin = motion.spin;
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k) {
      const std::uint32_t id = stone.firstSphere + k;
      set.position[id] = stone.sphere(k);
      set.velocity[id] = pose(s).sphere(k).velocity;
      set.spin[id] = motion.spin;
      set.frozen[id] = 0;
    }
  }
}

std::vector<std::byte> Stones::freeze() const {
  ByteWriter out;
  out.put(size());
  for (const RigidBody& body : bodies_) out.putVector(body.freeze());
  out.putVector(exposed_);
  out.putVector(waterDrag_);
  return out.take();
}

void Stones::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  if (in.get<std::size_t>() != size()) throw SystemError("checkpoint: it belongs to another bed");
  std::vector<std::byte> part;
  for (std::size_t s = 0; s < size(); ++s) {
    in.getVector(part);
    bodies_[s].thaw(part);
  }
  in.getVector(exposed_);
  in.getVector(waterDrag_);
}

}  // namespace holdground
