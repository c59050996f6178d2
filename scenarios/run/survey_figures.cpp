#include "scenarios/run/survey_figures.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/run/plate_shape.hpp"
#include "solver/anchor/assemble.hpp"
#include "solver/anchor/attitude.hpp"
#include "solver/anchor/extents.hpp"
#include "solver/geometry/mass_properties.hpp"

namespace holdground {

namespace {

constexpr double kFaceCosine = 0.5;  // triangles within 60 degrees of up are the fluke's face

const char* nameOf(PartRole role) {
  switch (role) {
    case PartRole::kFluke:
      return "fluke";
    case PartRole::kShank:
      return "shank";
    case PartRole::kStock:
      return "stock";
    case PartRole::kRollBar:
      return "roll-bar";
    case PartRole::kCrown:
      return "crown";
    case PartRole::kBallast:
      return "ballast";
    case PartRole::kOther:
      break;
  }
  return "other";
}

/// The face of all fluke parts, in the chord frame.
struct FlukeFace {
  double area = 0.0, projected = 0.0;  ///< [m^2]
  double unevenness = 0.0;             ///< half the spread of heights over the best plane [m]
  bool exists = false;
};

FlukeFace flukeFace(const Anchor& anchor) {
  const Mat3 toChord = chordFrame(anchor).transpose();
  FlukeFace face;
  std::vector<Vec3> points;
  for (const AnchorPart& part : anchor.parts) {
    if (part.role != PartRole::kFluke) continue;
    for (std::size_t t = 0; t < part.mesh.triangles.size(); ++t) {
      const Vec3 a = toChord * part.mesh.corner(t, 0), b = toChord * part.mesh.corner(t, 1),
                 c = toChord * part.mesh.corner(t, 2);
      const Vec3 twice = (b - a).cross(c - a);
      if (twice.z() < kFaceCosine * twice.norm()) continue;
      face.area += 0.5 * twice.norm();
      face.projected += 0.5 * twice.z();
      points.insert(points.end(), {a, b, c});
    }
  }
  face.exists = !points.empty();
  if (!face.exists) return face;
  Vec3 mean = Vec3::Zero();
  for (const Vec3& p : points) mean += p;
  mean /= static_cast<double>(points.size());
  Mat3 moment = Mat3::Zero();
  for (const Vec3& p : points) moment += (p - mean) * (p - mean).transpose();
  const Vec3 normal = Eigen::SelfAdjointEigenSolver<Mat3>(moment).eigenvectors().col(0);
  for (const Vec3& p : points) {
    face.unevenness = std::max(face.unevenness, std::abs(normal.dot(p - mean)));
  }
  return face;
}

/// A length below a micrometre is rounding of the single precision in which STL holds corners, and
/// less than any bench shows: reported as none.
void dropRounding(double& length) {
  if (std::abs(length) < 1e-6) length = 0.0;
}

void addParts(const Anchor& anchor, Survey& survey, std::optional<PlateShape>& shank,
              std::optional<PlateShape>& fluke) {
  for (const AnchorPart& part : anchor.parts) {
    const MassProperties p = massProperties(part.mesh);
    std::optional<PlateShape> plate = plateShapeOf(part.mesh);
    if (plate && !plate->isPlate()) plate.reset();
    survey.parts.push_back({part.name,
                            nameOf(part.role),
                            part.density * p.volume,
                            p.volume,
                            part.density,
                            p.centroid,
                            part.surface,
                            part.mesh.triangles.size(),
                            part.mesh.vertices.size(),
                            {}});
    if (!plate) continue;
    survey.parts.back().thickness = plate->thickness;
    if (part.role == PartRole::kShank && !shank) shank = plate;
    if (part.role == PartRole::kFluke && !fluke) fluke = plate;
  }
}

template <typename Value>
std::optional<double> ifGiven(const std::optional<PlateShape>& plate, Value PlateShape::*field) {
  return plate ? std::optional<double>((*plate).*field) : std::nullopt;
}

}  // namespace

Survey surveyAnchor(const Anchor& anchor, double waterDensity) {
  using enum Dimension;
  Survey survey;
  survey.name = anchor.name;
  std::optional<PlateShape> shank, plate;
  addParts(anchor, survey, shank, plate);

  const Mat3 toChord = chordFrame(anchor).transpose();
  const Vec3 size = extents(anchor), arm = toChord * (anchor.shackle - anchor.heel);
  const Vec3 balance = toChord * (anchor.centreOfMass - anchor.heel);
  const FlukeFace face = flukeFace(anchor);
  const auto onFluke = [&](double value) {
    return face.exists ? std::optional<double>(value) : std::nullopt;
  };
  const double weight = anchor.mass * kStandardGravity;
  const double levelShare = balance.x() / (anchor.toe - anchor.heel).norm();
  // A support can only push.
  const auto shared = [&](double reading) {
    const bool rests = reading >= 0.0 && reading <= anchor.mass;
    return rests ? std::optional<double>(reading) : std::nullopt;
  };
  const Vec3 toeArm = anchor.toe - anchor.shackle;

  survey.figures = {
      {"mass", "mass", anchor.mass, kMass, "in air, after adjustment to the bench"},
      {"weight_air", "weight in air", weight, kForce, "mass times 9.80665 m/s2"},
      {"weight_water", "weight in water", weight - waterDensity * anchor.volume * kStandardGravity,
       kForce, "less the water displaced, at " + formatNumber(waterDensity, 5) + " kg/m3"},
      {"tip_weight_level", "toe load, lying level", shared(anchor.mass * levelShare), kMass,
       "what scales under the toe read, chord level, heel on the other support"},
      {"tip_weight", "toe load, on toe and shackle", shared(toeReading(anchor)), kMass,
       "what scales under the toe read, toe and shackle level on two supports; left out when the "
       "balance lies beyond them and the anchor would not rest so"},
      {"balance_x", "balance ahead of heel", balance.x(), kLength,
       "centre of mass along the chord"},
      {"balance_y", "balance to port", balance.y(), kLength, "centre of mass off the middle"},
      {"balance_z", "balance over chord", balance.z(), kLength,
       "centre of mass, toward the shackle"},
      {"length", "length over all", size.x(), kLength, "along the chord"},
      {"width", "width over all", size.y(), kLength, "across the chord, port to starboard"},
      {"height", "height over all", size.z(), kLength, "across the chord, up"},
      {"fluke_chord", "fluke chord", (anchor.toe - anchor.heel).norm(), kLength, "heel to toe"},
      {"fluke_width", "fluke width", anchor.flukeWidth, kLength, "over all fluke parts"},
      {"fluke_area", "fluke area", onFluke(face.projected), kArea,
       "face of the fluke parts seen square to the chord"},
      {"fluke_area_true", "fluke area along its face", onFluke(face.area), kArea,
       "the same triangles (within 60 deg of up), not projected"},
      {"fluke_angle", "fluke angle", std::atan2(arm.z(), arm.x()), kAngle,
       "at the heel, from the chord to the shackle"},
      {"shank_height", "shackle over fluke", arm.z(), kLength, "shackle above the chord"},
      {"shackle_ahead_of_toe", "shackle ahead of toe", -(toChord * toeArm).x(), kLength,
       "along the chord"},
      {"setting_pitch", "pitch on toe and shackle", toeAndShacklePitch(anchor), kAngle,
       "chord below level, toe and shackle on a flat"},
      {"fluke_thickness", "fluke plate thickness", ifGiven(plate, &PlateShape::thickness), kLength,
       "median through the first fluke part that is a plate"},
      {"shank_thickness", "shank plate thickness", ifGiven(shank, &PlateShape::thickness), kLength,
       "median through the first shank part that is a plate"},
      {"shank_straightness", "shank out of true", ifGiven(shank, &PlateShape::outOfPlane), kLength,
       "greatest distance of its mid-surface from the best plane"},
      {"fluke_unevenness", "fluke face off its plane", onFluke(face.unevenness), kLength,
       "greatest distance of the face from its best plane: dish, bends and faults together"},
  };
  for (SurveyFigure& figure : survey.figures)
    if (figure.value && figure.dimension == kLength) dropRounding(*figure.value);
  for (SurveyPart& part : survey.parts)
    for (double& place : part.centroid) dropRounding(place);
  return survey;
}

}  // namespace holdground
