#include "solver/contact/hertz_mindlin.hpp"

#include <gtest/gtest.h>

#include <random>

namespace holdground {
namespace {

/// A contact driven by hand, with the numbers of 40 mm grains under about 30 kPa.
struct DrivenContact {
  ContactLaw law;
  ContactGeometry geometry{Vec3::UnitZ(), 1e-4, 0.01, 0.04, 1e-4};
  ContactMotion motion{Vec3::Zero(), Vec3::Zero()};
  ContactHistory history;
  ContactDissipation dissipation;
  double timeStep = 5e-5;
  SteelGrip grip;

  DrivenContact() {
    GrainMaterial material;
    material.youngModulus = 2.3e8;
    law = contactLaw(material);
  }
  ContactForce step() {
    return evaluateContact(law, geometry, motion, timeStep, history, dissipation, grip);
  }
  double springs() const {
    const double kt = history.tangentialStiffness;
    return springEnergy(history.tangentialForce, kt) +
           springEnergy(history.rollingMoment, rollingStiffness(law, geometry.reducedRadius, kt));
  }
  double elastic() const {
    return 4.0 / 3.0 * law.effectiveYoung * std::sqrt(geometry.reducedRadius) *
           std::pow(geometry.overlap, 1.5);
  }
};

class RandomNumbers {
 public:
  double between(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine_);
  }
  Vec3 vector(double size) {
    return Vec3(between(-size, size), between(-size, size), between(-size, size));
  }
  Vec3 direction() { return vector(1.0).normalized(); }

 private:
  std::mt19937 engine_{20240607};
};

/// A step of something like a grain in a dragged bed: it slides, rolls, lifts and turns.
void disturb(DrivenContact& contact, RandomNumbers& random) {
  contact.geometry.overlap = random.between(1e-6, 3e-4);
  contact.geometry.normal = (contact.geometry.normal + 1e-3 * random.vector(1.0)).normalized();
  contact.motion.velocity = random.vector(0.2);
  contact.motion.spin = random.vector(20.0);
}

}  // namespace

namespace {

// The identity is algebra: only rounding is left, of the order of 1e-16 of the energies in play.
void expectEnergyAccountedFor(DrivenContact contact) {
  RandomNumbers random;
  for (int k = 0; k < 20000; ++k) {
    disturb(contact, random);
    const double before = contact.springs();
    contact.dissipation = {};
    const ContactForce force = contact.step();
    const Vec3 whole = force.normal * contact.geometry.normal + force.tangential;
    const double normalWork = (contact.elastic() - contact.grip.tension) *
                              contact.motion.velocity.dot(contact.geometry.normal);
    const double workAgainst = -(whole.dot(contact.motion.velocity) - normalWork +
                                 force.rolling.dot(contact.motion.spin)) *
                               contact.timeStep;
    const ContactDissipation& d = contact.dissipation;
    const double booked = contact.springs() - before + d.friction + d.normalDamping +
                          d.tangentialDamping + d.rolling + d.historyArtefact;
    const double scale = before + contact.springs() + std::abs(workAgainst) + d.normalDamping;
    ASSERT_NEAR(workAgainst, booked, 1e-13 * scale) << "step " << k;
    for (const double term :
         {d.friction, d.normalDamping, d.tangentialDamping, d.rolling, d.historyArtefact})
      ASSERT_GE(term, -1e-14 * scale) << "step " << k;
  }
}

}  // namespace

TEST(HertzMindlin, EnergyOfEveryStepIsAccountedFor) { expectEnergyAccountedFor({}); }

TEST(HertzMindlin, EnergyOfEveryStepOnStickySteelIsAccountedFor) {
  DrivenContact contact;
  contact.law.stuckRolling = kStuckRolling;
  contact.grip = {3.0, 5.0};  // some tenths of the mean normal force
  expectEnergyAccountedFor(contact);
}

// |T| = mu max(0, F_n - Q) + C, and the rolling limit alike on the arm R*: by definition.
TEST(HertzMindlin, SteelHoldsAdhesionAtNoNormalForceAndNoFrictionFromTension) {
  for (const double tension : {0.0, 10.0, 1000.0}) {
    DrivenContact contact;
    contact.law.stuckRolling = kStuckRolling;
    contact.law.rollingFriction = 0.0;
    contact.grip = {7.0, tension};
    contact.motion.velocity = Vec3(1.0, 0.0, 0.0);
    contact.motion.spin = Vec3(0.0, 100.0, 0.0);
    for (int k = 0; k < 200; ++k) contact.step();
    const ContactForce force = contact.step();
    EXPECT_NEAR(force.normal, contact.elastic() - tension, 1e-12 * contact.elastic());
    EXPECT_NEAR(-force.tangential.x(),
                contact.law.friction * std::max(0.0, contact.elastic() - tension) + 7.0, 1e-10);
    EXPECT_NEAR(-force.rolling.y(), 7.0 * contact.geometry.reducedRadius, 1e-12);
    EXPECT_GT(contact.dissipation.friction, 0.0);
  }
}

TEST(HertzMindlin, ForcesStayWithinTheirLimits) {
  DrivenContact contact;
  RandomNumbers random;
  int sliding = 0;
  for (int k = 0; k < 20000; ++k) {
    disturb(contact, random);
    const ContactForce force = contact.step();
    const double limit = contact.law.friction * force.normal;
    const double rollingLimit =
        contact.law.rollingFriction * contact.geometry.reducedRadius * force.normal;
    ASSERT_GE(force.normal, 0.0);
    ASSERT_LE(force.tangential.norm(), limit * (1.0 + 1e-12));
    ASSERT_LE(force.rolling.norm(), rollingLimit * (1.0 + 1e-12));
    ASSERT_LE(std::abs(force.tangential.dot(contact.geometry.normal)), 1e-12 * (1.0 + limit));
    sliding += force.tangential.norm() > 0.999 * limit ? 1 : 0;
  }
  EXPECT_GT(sliding, 2000);
  EXPECT_LT(sliding, 18000);
}

// Rotated: every vector turns with the frame. Mirrored: axial vectors (spin, moment) also change
// sign. Exact but for rounding.
TEST(HertzMindlin, LawIsTheSameInEveryFrameAndInTheMirror) {
  RandomNumbers random;
  for (int k = 0; k < 500; ++k) {
    DrivenContact here, there;
    const bool mirrored = k % 2 == 1;
    Mat3 turn = Quat(Eigen::AngleAxisd(random.between(0.0, kPi), random.direction())).matrix();
    if (mirrored) turn = turn * Vec3(1.0, -1.0, 1.0).asDiagonal();
    const double axialSign = mirrored ? -1.0 : 1.0;
    for (int n = 0; n < 20; ++n) {
      disturb(here, random);
      there.geometry = here.geometry;
      there.geometry.normal = turn * here.geometry.normal;
      there.motion = {turn * here.motion.velocity, axialSign * (turn * here.motion.spin)};
      const ContactForce a = here.step(), b = there.step();
      const double scale = a.normal + 1e-3;
      ASSERT_NEAR(a.normal, b.normal, 1e-12 * scale);
      ASSERT_LE((turn * a.tangential - b.tangential).norm(), 1e-11 * scale);
      ASSERT_LE((axialSign * (turn * a.rolling) - b.rolling).norm(), 1e-13 * scale);
    }
  }
}

// A spring with a slider at constant load slips when its stretch reaches mu F/kt: two thirds of the
// stretch of full slip in Mindlin & Deresiewicz 1953, whose partial slip the law leaves out.
TEST(HertzMindlin, SlipBeginsAtTheStretchOfTheSlider) {
  DrivenContact contact;
  contact.law.damping = 0.0;
  const double kt =
      tangentialStiffness(contact.law, contact.geometry.reducedRadius, contact.geometry.overlap);
  const double limit = contact.law.friction * contact.elastic();
  contact.motion.velocity = Vec3(1e-3, 0.0, 0.0);
  double stretch = 0.0;
  while (contact.history.tangentialForce.norm() < (1.0 - 1e-12) * limit) {
    contact.step();
    stretch += contact.motion.velocity.x() * contact.timeStep;
    ASSERT_LT(stretch, 2.0 * limit / kt);
  }
  EXPECT_NEAR(stretch, limit / kt, contact.motion.velocity.x() * contact.timeStep);
}

// Johnson 1985, ch. 7: partial slip would lose some; a spring with a slider loses nothing.
TEST(HertzMindlin, ClosedCycleBelowTheLimitLosesNothing) {
  DrivenContact contact;
  contact.law.damping = 0.0;
  const double kt =
      tangentialStiffness(contact.law, contact.geometry.reducedRadius, contact.geometry.overlap);
  const double amplitude = 0.5 * contact.law.friction * contact.elastic() / kt;
  const int count = 1000;
  for (int k = 0; k < 3 * count; ++k) {
    const double phase = 2.0 * kPi * (k + 0.5) / count;
    contact.motion.velocity.x() =
        amplitude * 2.0 * kPi / (count * contact.timeStep) * std::cos(phase);
    contact.step();
  }
  const double stored = 0.5 * kt * amplitude * amplitude;
  EXPECT_LE(std::abs(contact.dissipation.friction), 1e-12 * stored);
  EXPECT_LE(std::abs(contact.dissipation.tangentialDamping), 1e-12 * stored);
}

TEST(HertzMindlin, UnloadingKeepsTheStretchAndLoadingTheForce) {
  DrivenContact contact;
  contact.motion.velocity = Vec3(0.01, 0.0, 0.0);
  for (int k = 0; k < 10; ++k) contact.step();
  contact.motion.velocity.setZero();
  const Vec3 force = contact.history.tangentialForce;
  const double stiffness = contact.history.tangentialStiffness;
  contact.geometry.overlap *= 0.81;  // the stiffness goes with its root
  contact.step();
  EXPECT_NEAR(contact.history.tangentialForce.x() / (0.9 * force.x()), 1.0, 1e-12);
  EXPECT_NEAR(contact.history.tangentialStiffness / (0.9 * stiffness), 1.0, 1e-12);
  contact.geometry.overlap *= 4.0;
  contact.step();
  EXPECT_NEAR(contact.history.tangentialForce.x() / (0.9 * force.x()), 1.0, 1e-12);
}

TEST(HertzMindlin, EndedContactBooksWhatItHeldAndForgets) {
  DrivenContact contact;
  contact.motion = {Vec3(0.01, 0.0, 0.0), Vec3(1.0, 0.0, 0.0)};
  for (int k = 0; k < 5; ++k) contact.step();
  const double held = contact.springs();
  ASSERT_GT(held, 0.0);
  contact.dissipation = {};
  endContact(contact.law, contact.geometry.reducedRadius, contact.history, contact.dissipation);
  EXPECT_DOUBLE_EQ(contact.dissipation.friction + contact.dissipation.rolling, held);
  EXPECT_EQ(contact.springs(), 0.0);
  EXPECT_EQ(contact.history.tangentialStiffness, 0.0);
}

}  // namespace holdground
