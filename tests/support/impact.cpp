#include "tests/support/impact.hpp"

#include <cmath>

namespace holdground {
namespace {

/// Highest point of the parabola through three equally spaced values.
double vertex(double before, double top, double after) {
  const double curvature = before - 2.0 * top + after;
  if (curvature >= 0.0) return top;
  const double slope = 0.5 * (after - before);
  return top - 0.5 * slope * slope / curvature;
}

}  // namespace

KernelSettings settingsOf(const ImpactScene& scene) {
  KernelSettings settings;
  settings.material = scene.material;
  settings.water.density = 0.0;
  settings.gravity = 0.0;
  settings.timeStep = scene.timeStep;
  return settings;
}

ImpactResult runImpact(KernelKind kind, const ImpactScene& scene, int maximumSteps) {
  const KernelSettings settings = settingsOf(scene);
  const auto kernel =
      makeKernel(kind, sceneOf(scene.domain, {scene.first, scene.second}), settings);
  const double reach = scene.first.radius + scene.second.radius;
  const double mass = massOf(settings, scene.first.radius);
  ImpactResult result;
  double overlap[3] = {-1.0, -1.0, -1.0};  // the last three, newest last
  double touched = -1.0, parted = -1.0;
  Vec3 velocity = scene.first.velocity;
  for (int k = 1; k <= maximumSteps && parted < 0.0; ++k) {
    step(*kernel);
    result.first = grainOf(*kernel, 0);
    result.second = grainOf(*kernel, 1);
    const Vec3 d = result.first.position - result.second.position;
    overlap[0] = overlap[1];
    overlap[1] = overlap[2];
    overlap[2] = reach - d.norm();
    const double share = overlap[2] / (overlap[2] - overlap[1]);  // of the step, since the crossing
    if (overlap[2] > 0.0 && touched < 0.0) touched = k - share;
    if (overlap[2] <= 0.0 && touched >= 0.0) parted = k - share;
    if (overlap[1] > 0.0 && overlap[1] >= overlap[0] && overlap[1] > overlap[2])
      result.largestOverlap = vertex(overlap[0], overlap[1], overlap[2]);
    if (overlap[2] > overlap[1]) result.normal = d.normalized();
    const double force = mass * (result.first.velocity - velocity).norm() / scene.timeStep;
    result.largestForce = std::max(result.largestForce, force);
    velocity = result.first.velocity;
  }
  EXPECT_GE(parted, 0.0) << "the spheres did not meet and part in " << maximumSteps << " steps";
  step(*kernel);  // the predicted velocities have forgotten the contact now
  result.first = grainOf(*kernel, 0);
  result.second = grainOf(*kernel, 1);
  result.duration = (parted - touched) * scene.timeStep;
  result.ledger = kernel->energy();
  return result;
}

ImpactScene headOnScene(const GrainMaterial& material, double radius, double relativeSpeed,
                        double timeStep, double delay) {
  ImpactScene scene;
  scene.material = material;
  scene.timeStep = timeStep;
  const double gap = delay * timeStep * relativeSpeed;
  scene.first.position = Vec3(-radius - 0.5 * gap, 0.0, 0.0);
  scene.second.position = Vec3(radius + 0.5 * gap, 0.0, 0.0);
  scene.first.velocity = Vec3(0.5 * relativeSpeed, 0.0, 0.0);
  scene.second.velocity = Vec3(-0.5 * relativeSpeed, 0.0, 0.0);
  scene.first.radius = scene.second.radius = radius;
  const double width = 16.0 * radius;
  scene.domain = {width, width, -0.5 * width, 0.5 * width};
  return scene;
}

HertzImpact hertzImpact(double effectiveYoung, double radius, double mass, double speed) {
  const double root = std::sqrt(radius);
  HertzImpact impact;
  impact.largestOverlap =
      std::pow(15.0 * mass * speed * speed / (16.0 * effectiveYoung * root), 0.4);
  impact.largestForce = 4.0 / 3.0 * effectiveYoung * root * std::pow(impact.largestOverlap, 1.5);
  impact.duration = 2.943275 * impact.largestOverlap / speed;
  return impact;
}

}  // namespace holdground
