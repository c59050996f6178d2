// A sphere on a plane under the contact law alone: rolling to rest, sliding to rolling, an incline.
// Source: Ai, Chen, Rotter & Ooi 2011, Powder Technol. 206:269 (rolling model C; forms from
// memory); rigid-body mechanics of a solid sphere, I = 2/5 m R^2.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/material/critical_time_step.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;
constexpr double kGravity = 9.81;

/// Leapfrog of one sphere over the plane z = 0, which may stand at a slope (gravity leans along x).
class SphereOnPlane {
 public:
  SphereOnPlane(double friction, double rollingFriction, double slope) {
    GrainMaterial material;
    material.youngModulus = 1.0e8;
    material.friction = friction;
    material.rollingFriction = rollingFriction;
    law_ = contactLaw(material);
    mass_ = material.density * 4.0 / 3.0 * kPi * std::pow(kRadius, 3);
    gravity_ = kGravity * Vec3(std::sin(slope), 0.0, -std::cos(slope));
    step_ =
        0.2 * rayleighTime(kRadius, material.density, material.youngModulus, material.poissonRatio);
    const double weight = mass_ * kGravity * std::cos(slope);
    const double stiffness = 4.0 / 3.0 * law_.effectiveYoung * std::sqrt(kRadius);
    position_.z() = kRadius - std::pow(weight / stiffness, 2.0 / 3.0);
  }

  void start(const Vec3& velocity, const Vec3& spin) {
    halfVelocity_ = velocity_ = velocity;
    halfSpin_ = spin_ = spin;
  }

  void advance() {
    Vec3 force = mass_ * gravity_, torque = Vec3::Zero();
    const double overlap = kRadius - position_.z();
    if (overlap > 0.0) {
      const ContactGeometry geometry{Vec3::UnitZ(), overlap, kRadius, mass_,
                                     1.4 * mass_ * kRadius * kRadius};
      const Vec3 arm(0.0, 0.0, -position_.z());
      const ContactMotion motion{velocity_ + spin_.cross(arm), spin_};
      const ContactForce contact =
          evaluateContact(law_, geometry, motion, step_, history_, dissipation_);
      const Vec3 whole = contact.normal * geometry.normal + contact.tangential;
      force += whole;
      torque += arm.cross(whole) + contact.rolling;
    }
    const Vec3 acceleration = force / mass_;
    const Vec3 spinUp = torque / (0.4 * mass_ * kRadius * kRadius);
    halfVelocity_ += step_ * acceleration;
    halfSpin_ += step_ * spinUp;
    position_ += step_ * halfVelocity_;
    velocity_ = halfVelocity_ + 0.5 * step_ * acceleration;
    spin_ = halfSpin_ + 0.5 * step_ * spinUp;
    time_ += step_;
  }

  void advanceFor(double duration) {
    for (const double end = time_ + duration; time_ < end;) advance();
  }

  double time() const { return time_; }
  double mass() const { return mass_; }
  const Vec3& position() const { return position_; }
  const Vec3& velocity() const { return velocity_; }
  const Vec3& spin() const { return spin_; }
  const ContactDissipation& dissipation() const { return dissipation_; }
  /// Speed of the lowest point over the plane [m/s].
  double slidingSpeed() const { return velocity_.x() - spin_.y() * position_.z(); }

 private:
  ContactLaw law_;
  ContactHistory history_;
  ContactDissipation dissipation_;
  double mass_, step_, time_ = 0.0;
  Vec3 gravity_, position_ = Vec3::Zero(), velocity_ = Vec3::Zero(), spin_ = Vec3::Zero();
  Vec3 halfVelocity_ = Vec3::Zero(), halfSpin_ = Vec3::Zero();
};

double radians(double degrees) { return degrees * kPi / 180.0; }

}  // namespace

// a = -(5/7) mu_r g: mu_r = 0.1 from 1 m/s stops after 1.4272 s and 0.71356 m. The spring turns
// mu_r R Fn/kr = Fn/(2.25 kn mu_r R) before it yields, 1e-3 rad here: far below the 1 %.
TEST(Rolling, ComesToRestWhereModelCSays) {
  SphereOnPlane sphere(0.5, 0.1, 0.0);
  sphere.start(Vec3(1.0, 0.0, 0.0), Vec3(0.0, 1.0 / kRadius, 0.0));
  sphere.advanceFor(0.7);
  EXPECT_NEAR(sphere.velocity().x(), 1.0 - 5.0 / 7.0 * 0.1 * kGravity * sphere.time(), 0.005);
  while (sphere.velocity().x() > 0.0 && sphere.time() < 3.0) sphere.advance();
  EXPECT_NEAR(sphere.time() / 1.42712, 1.0, 0.01);
  EXPECT_NEAR(sphere.position().x() / 0.71356, 1.0, 0.01);
  sphere.advanceFor(1.0);
  EXPECT_LT(sphere.velocity().norm(), 1e-6);
  const double energy = 0.7 * sphere.mass();
  EXPECT_NEAR(sphere.dissipation().rolling / energy, 1.0, 0.01);
}

// v0 = 1 m/s without spin, mu = 0.3: rolls at 5/7 v0 after 2 v0/(7 mu g), 12 v0^2/(49 mu g) on.
TEST(Rolling, SlidingTurnsToRollingAtFiveSevenths) {
  SphereOnPlane sphere(0.3, 0.0, 0.0);
  sphere.start(Vec3(1.0, 0.0, 0.0), Vec3::Zero());
  while (sphere.slidingSpeed() > 1e-3 && sphere.time() < 1.0) sphere.advance();
  EXPECT_NEAR(sphere.time() / 0.097083, 1.0, 5e-3);
  EXPECT_NEAR(sphere.position().x() / 0.083214, 1.0, 5e-3);
  sphere.advanceFor(0.1);
  EXPECT_NEAR(sphere.velocity().x() / (5.0 / 7.0), 1.0, 5e-3);
  EXPECT_NEAR(sphere.spin().y() * kRadius / (5.0 / 7.0), 1.0, 5e-3);
  // Half the energy of sliding, 1/7 of the whole, is lost to friction.
  EXPECT_NEAR(sphere.dissipation().friction / (sphere.mass() / 7.0), 1.0, 5e-3);
}

// Rolls without slip at (5/7) g sin(theta) while mu > (2/7) tan(theta): 20 degrees, 2.39658 m/s^2.
TEST(Rolling, AcceleratesDownAnInclineWithoutSlip) {
  SphereOnPlane sphere(0.12, 0.0, radians(20.0));
  sphere.start(Vec3::Zero(), Vec3::Zero());
  sphere.advanceFor(0.5);
  EXPECT_NEAR(sphere.velocity().x() / (2.39658 * sphere.time()), 1.0, 5e-3);
  EXPECT_LT(std::abs(sphere.slidingSpeed()), 0.01 * sphere.velocity().x());
}

// Below (2/7) tan(theta) it slides as well: a = g (sin - mu cos).
TEST(Rolling, SlidesDownAnInclineThatIsTooSmooth) {
  SphereOnPlane sphere(0.05, 0.0, radians(20.0));
  sphere.start(Vec3::Zero(), Vec3::Zero());
  sphere.advanceFor(0.5);
  const double expected = kGravity * (std::sin(radians(20.0)) - 0.05 * std::cos(radians(20.0)));
  EXPECT_NEAR(sphere.velocity().x() / (expected * sphere.time()), 1.0, 5e-3);
  EXPECT_GT(sphere.slidingSpeed(), 0.2);
}

// Holds up to tan(theta) = mu_r: 5.71 degrees for 0.1.
TEST(Rolling, HoldsOnAnInclineUpToItsRollingFriction) {
  SphereOnPlane held(0.5, 0.1, radians(5.5)), released(0.5, 0.1, radians(7.0));
  held.start(Vec3::Zero(), Vec3::Zero());
  released.start(Vec3::Zero(), Vec3::Zero());
  held.advanceFor(0.5);
  const double settled = held.position().x();
  held.advanceFor(0.5);
  EXPECT_LT(held.velocity().norm(), 1e-6);
  EXPECT_NEAR(held.position().x(), settled, 1e-7);
  released.advanceFor(0.2);
  const double speed = released.velocity().x(), time = released.time();
  released.advanceFor(0.5);
  // (5/7) g (sin - mu_r cos), once the springs have yielded.
  const double expected =
      5.0 / 7.0 * kGravity * (std::sin(radians(7.0)) - 0.1 * std::cos(radians(7.0)));
  const double measured = (released.velocity().x() - speed) / (released.time() - time);
  EXPECT_NEAR(measured / expected, 1.0, 0.01);
}

}  // namespace holdground
