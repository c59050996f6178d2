#include "scenarios/schema/surface_spec.hpp"

#include <array>

namespace holdground {

namespace {

using enum Dimension;

struct Kind {
  const char* word;
  double friction;  ///< tan(delta) of smooth steel
  bool isMud;       ///< its grains stand for lumps
};
constexpr Kind kSand{"sand", 0.30, false};
constexpr std::array<Kind, 5> kOthers = {{{"gravel", 0.40, false},
                                          {"cobble", 0.30, false},
                                          {"sandy mud", 0.25, true},
                                          {"soft mud", 0.20, true},
                                          {"mud", 0.20, true}}};

struct Finish {
  double friction;  ///< over that of smooth steel
  double adhesion;  ///< over the mud's strength
};

Finish valuesOf(SteelFinish finish) {
  switch (finish) {
    case SteelFinish::kRough:
      return {1.45, kMostAdhesion};
    case SteelFinish::kCoated:
      return {2.0 / 3.0, 0.5};
    case SteelFinish::kSmooth:
      break;
  }
  return {1.0, 0.5};
}

const Kind& kindOf(const std::string& word) {
  for (const Kind& kind : kOthers)
    if (kind.word == word) return kind;
  return kSand;
}

}  // namespace

SurfaceSpec SurfaceSpec::over(const SurfaceSpec& all) const {
  if (finish) return *this;
  const auto first = [](const std::optional<double>& a, const std::optional<double>& b) {
    return a ? a : b;
  };
  return {all.finish, first(friction, all.friction), first(rollingFriction, all.rollingFriction),
          first(adhesion, all.adhesion), first(tension, all.tension)};
}

Surface SurfaceSpec::on(const Ground& ground) const {
  const Kind& kind = kindOf(ground.kind);
  const Finish values = valuesOf(finish.value_or(SteelFinish::kSmooth));
  Surface surface;
  surface.friction = friction.value_or(values.friction * kind.friction);
  surface.rollingFriction = rollingFriction.value_or(kind.isMud ? surface.friction : 0.0);
  surface.adhesion = adhesion.value_or(values.adhesion * ground.strength);
  surface.tension = tension.value_or(0.0);
  return surface;
}

void addSurfaceKeys(TableSchema& table, SurfaceSpec& surface, const char* otherwise) {
  const auto left = [otherwise](const char* here) { return *otherwise ? otherwise : here; };
  table
      .choice<std::optional<SteelFinish>>("finish", surface.finish,
                                          {{"smooth galvanized", SteelFinish::kSmooth},
                                           {"rough", SteelFinish::kRough},
                                           {"coated", SteelFinish::kCoated}},
                                          "The steel's finish, for what is left out below; rough "
                                          "is rusted or worn")
      .otherwise(left("smooth galvanized"));
  table
      .quantity("friction", surface.friction, kNumber,
                "Coulomb friction coefficient of grain on steel; from finish and kind of bed: 0.3 "
                "for smooth steel in sand")
      .otherwise(left("by finish and bed"))
      .atLeast("0")
      .atMost("2");
  table
      .quantity("rolling_friction", surface.rollingFriction, kNumber,
                "Coefficient of rolling resistance of a grain on the steel")
      .otherwise(left("0; in mud as friction"))
      .atLeast("0")
      .atMost("1");
  table
      .quantity("adhesion", surface.adhesion, kPressure,
                "Shear stress that the ground holds along the steel at no normal stress; by "
                "default half of the bed's strength, 0.8 of it on rough steel")
      .otherwise(left("by finish and bed; 0 where the bed gives no strength"))
      .atLeast("0 Pa")
      .atMost("1 MPa");
  table
      .quantity("tension", surface.tension, kPressure,
                "Normal stress that pulls the ground off the steel")
      .otherwise(left("0 Pa"))
      .atLeast("0 Pa")
      .atMost("1 MPa");
}

}  // namespace holdground
