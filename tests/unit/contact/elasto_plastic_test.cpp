#include "tests/support/elasto_plastic.hpp"

#include <gtest/gtest.h>

#include <random>

namespace holdground {
namespace {

constexpr double kMost = 2e-4;  // greatest overlap [m]
const ElastoPlastic kLinear{100.0, 500.0, 100.0, -1e-3, 1.0};
const ElastoPlastic kPower{1e5, 5e5, 1e5, -1e-3, 1.5};

double pressedTo(const ElastoPlastic& law, double overlap, double& memory) {
  return elastoPlasticForce(law, overlap, memory);
}

}  // namespace

// The branches worked by hand from the equations, to the digits given.
TEST(ElastoPlastic, EachBranchEndsWhereTheEquationsSay) {
  struct Case {
    ElastoPlastic law;
    double greatest, dent, weakest, strongestPull;
  };
  for (const auto& [law, greatest, dent, weakest, strongestPull] :
       {Case{kLinear, 0.0190, 1.6e-4, 1.33333e-4, -0.0143333},
        Case{kPower, 0.2818427, 1.723548e-4, 1.526286e-4, -0.1895618}}) {
    double memory = 0.0;
    EXPECT_NEAR(pressedTo(law, kMost, memory), greatest, 5e-7 * std::abs(greatest));
    EXPECT_NEAR(law.dent(memory), dent, 5e-7 * dent);
    EXPECT_NEAR(law.largestOverlap(memory), kMost, 1e-12 * kMost);
    EXPECT_NEAR(law.weakestOverlap(memory), weakest, 4e-6 * weakest);
    const double pressed = memory;
    EXPECT_NEAR(elastoPlasticForce(law, law.dent(memory), memory), law.constantPullOff, 1e-12);
    EXPECT_EQ(memory, pressed);
    const double pull = elastoPlasticForce(law, law.weakestOverlap(memory), memory);
    EXPECT_NEAR(pull, strongestPull, 4e-6 * std::abs(strongestPull));
    EXPECT_NEAR(memory, pressed, 1e-12 * pressed);
  }
}

TEST(ElastoPlastic, LettingGoLowersTheElasticLineToWhereItIs) {
  for (const ElastoPlastic& law : {kLinear, kPower}) {
    double memory = 0.0;
    pressedTo(law, kMost, memory);
    const double overlap = 0.5 * law.weakestOverlap(memory);
    const double x = std::pow(overlap, law.exponent);
    EXPECT_NEAR(elastoPlasticForce(law, overlap, memory), law.constantPullOff - law.adhesive * x,
                1e-15);
    EXPECT_NEAR(memory, x * (1.0 + law.adhesive / law.unloading), 1e-12 * x);
    // Pressed again, it follows k2 until it meets k1, at the overlap that this memory stands for.
    const double meets = law.largestOverlap(memory);
    const double held = memory, between = 0.5 * (overlap + meets);
    EXPECT_NEAR(elastoPlasticForce(law, between, memory),
                law.constantPullOff + law.unloading * (std::pow(between, law.exponent) - held),
                1e-12);
    EXPECT_EQ(memory, held);
    const double beyond = 1.1 * meets;
    EXPECT_NEAR(elastoPlasticForce(law, beyond, memory),
                law.constantPullOff + law.loading * std::pow(beyond, law.exponent), 1e-12);
    EXPECT_GT(memory, held);
  }
}

TEST(ElastoPlastic, ForceIsContinuousWithoutItsConstantPart) {
  for (ElastoPlastic law : {kLinear, kPower}) {
    law.constantPullOff = 0.0;
    std::mt19937 engine(1);
    std::uniform_real_distribution<double> stride(-1e-7, 1e-7);
    double overlap = 1e-4, memory = 0.0, force = elastoPlasticForce(law, overlap, memory);
    // The steepest branch: k2 n d^(n-1), and d stays below 3e-4.
    const double steepest = law.unloading * law.exponent * std::pow(3e-4, law.exponent - 1.0);
    for (int k = 0; k < 200000; ++k) {
      const double next = std::clamp(overlap + 30.0 * stride(engine), 0.0, 2.9e-4);
      const double now = elastoPlasticForce(law, next, memory);
      ASSERT_LE(std::abs(now - force), steepest * std::abs(next - overlap) * (1.0 + 1e-9) + 1e-15);
      overlap = next;
      force = now;
    }
  }
}

// Work by the trapezoid rule in steps of 1e-8 m, whose error is far below 1e-6 of it; loading to
// dmax, then apart.
TEST(ElastoPlastic, WorkIsWhatIsStoredAndWhatTheDentCosts) {
  for (const ElastoPlastic& law : {kLinear, kPower}) {
    double memory = 0.0, work = 0.0, lost = 0.0, before = law.constantPullOff, overlap = 0.0;
    const int count = 20000;
    for (int k = 1; k <= 2 * count; ++k) {
      const double next = kMost * (k <= count ? k : 2 * count - k) / count;
      const double remembered = memory;
      const double force = next > 0.0 ? elastoPlasticForce(law, next, memory) : law.constantPullOff;
      if (next == 0.0) memory = 0.0;
      const double loss = elastoPlasticLoss(law, remembered, memory);
      ASSERT_GE(loss, -1e-20);
      lost += loss;
      work += 0.5 * (force + before) * (next - overlap);
      before = force;
      overlap = next;
      ASSERT_NEAR(work, elastoPlasticEnergy(law, overlap, memory) + lost,
                  1e-6 * law.loading * std::pow(kMost, law.exponent + 1.0))
          << k;
    }
    EXPECT_GT(lost, 0.0);
  }
}

// Loop from nothing to dmax and back to F = 0, linear and without adhesion: k1 dmax^2/2 (1 -
// k1/k2).
TEST(ElastoPlastic, LoopOfALinearContactIsItsClosedForm) {
  const ElastoPlastic law{100.0, 400.0, 0.0, 0.0, 1.0};
  EXPECT_NEAR(elastoPlasticLoss(law, 0.0, law.memoryOf(kMost)),
              0.5 * law.loading * kMost * kMost * (1.0 - law.loading / law.unloading), 1e-18);
}

// e = sqrt(k1/k2) = 1/2 for a linear contact without adhesion (Walton & Braun 1986): leapfrog at
// 1/6000 of the period errs by less than 1e-4.
TEST(ElastoPlastic, ReboundIsTheRootOfTheStiffnesses) {
  const ElastoPlastic law{100.0, 400.0, 0.0, 0.0, 1.0};
  const double mass = 1e-3, step = 1e-3 * std::sqrt(mass / law.unloading);
  double overlap = 0.0, speed = 0.1, memory = 0.0;
  overlap += speed * step;
  double force = 1.0;
  while (force > 0.0) {
    force = elastoPlasticForce(law, overlap, memory);
    speed -= force / mass * step;
    overlap += speed * step;
  }
  EXPECT_NEAR(-speed, 0.05, 0.05 * 2e-3);
}

TEST(ElastoPlastic, ElasticContactRemembersNothing) {
  const ElastoPlastic law{1e5, 1e5, 0.0, 0.0, 1.5};
  double memory = 0.0;
  const double force = elastoPlasticForce(law, kMost, memory);
  EXPECT_EQ(memory, 0.0);
  EXPECT_NEAR(elastoPlasticForce(law, 0.5 * kMost, memory), force * std::pow(0.5, 1.5),
              1e-12 * force);
  EXPECT_EQ(elastoPlasticLoss(law, 0.0, memory), 0.0);
}

TEST(ElastoPlastic, FrictionFollowsTheForceAboveThatOfLettingGo) {
  double memory = 0.0;
  const double pressed = elastoPlasticForce(kLinear, kMost, memory);
  // F - f0 + k_adh d = (k1 + k_adh) d on loading.
  EXPECT_NEAR(elastoPlasticGrip(kLinear, kMost, pressed), 200.0 * kMost, 1e-15);
  const double weakest = kLinear.weakestOverlap(memory);
  EXPECT_NEAR(elastoPlasticGrip(kLinear, weakest, elastoPlasticForce(kLinear, weakest, memory)),
              0.0, 1e-15);
  EXPECT_EQ(elastoPlasticGrip(kLinear, 0.0, 0.0), 0.0);
}

// A linear dashpot that may pull gives back the restitution it was made for: e = exp(-pi z/sqrt(1 -
// z^2)), z = c/(2 sqrt(m k)).
TEST(ElastoPlastic, DashpotIsThatOfItsRestitution) {
  const double mass = 1e-3, damping = elastoPlasticDashpot(kLinear, mass, 0.4);
  const double share = damping / (2.0 * std::sqrt(mass * kLinear.loading));
  EXPECT_NEAR(std::exp(-kPi * share / std::sqrt(1.0 - share * share)), 0.4, 1e-12);
  EXPECT_EQ(elastoPlasticDashpot(kLinear, mass, 1.0), 0.0);
}

}  // namespace holdground
