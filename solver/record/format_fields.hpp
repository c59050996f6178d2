#pragma once
// The single values and lists of a record's description, once, for writer and reader alike.
//
// visitFields(value, visit) calls visit(name, unit, frame, description, field) for every field, in
// the order of the file. The writer visits a const description, the reader fills one.

#include "solver/record/format.hpp"
#include "solver/record/format_run.hpp"

namespace holdground::format {

template <class Run, class Visit>
void visitProvenance(Run& run, Visit&& visit) {
  const char* none = kNoFrame;
  visit("program_version", "1", none, "version of the program", run.programVersion);
  visit("build_flags", "1", none, "compiler and flags the program was built with", run.buildFlags);
  visit("trial", "1", none, "name of the trial", run.trialName);
  visit("kernel", "1", none, "which grain kernel ran: fast or reference", run.kernel);
  visit("threads", "1", none, "threads used; results do not depend on it", run.threads);
  visit("seeds", "1", none, "seeds of the random numbers", run.seeds);
  visit("time_step", "s", none, "time step", run.timeStep);
  visit("sample_interval", "s", none, "time between samples of the series", run.sampleInterval);
  visit("frame_interval", "s", none, "time between frames", run.frameInterval);
  visit("film_speed", "1", none, "speed wished for films, over real time", run.filmSpeed);
  visit("gravity", "m/s^2", none, "acceleration of free fall, along -z", run.gravity);
  visit("hold_duration", "s", none, "trial time a load must be kept to count as held",
        run.holdDuration);
  visit("hold_drift", "1", none, "drift below which it counts, over the length of the anchor",
        run.holdDriftInLengths);
  visit("papers", "1", none, "published sources of the laws used", run.papers);
  visit("cautions", "1", none, "what must not be concluded from this run", run.cautions);
}

template <class Anchor, class Visit>
void visitAnchor(Anchor& anchor, Visit&& visit) {
  const char* none = kNoFrame;
  visit("name", "1", none, "name of the anchor", anchor.name);
  visit("mass", "kg", none, "mass in air", anchor.mass);
  visit("weight", "N", none, "weight in air", anchor.weight);
  visit("length", "m", none, "length over all, along the chord from heel to toe", anchor.length);
  visit("fluke_width", "m", none, "width of the fluke", anchor.flukeWidth);
  visit("centre_of_mass", "m", kAnchorFrame, "centre of mass", anchor.centreOfMass);
  visit("shackle", "m", kAnchorFrame, "where the rode pulls", anchor.shackle);
  visit("toe", "m", kAnchorFrame, "foremost point of the fluke", anchor.toe);
  visit("heel", "m", kAnchorFrame, "aft end of the fluke on the centreline", anchor.heel);
}

template <class Part, class Visit>
void visitPart(Part& part, Visit&& visit) {
  const char* none = kNoFrame;
  visit("name", "1", none, "name of the part", part.name);
  visit("digest", "1", none, "digest of the bytes of the mesh file", part.digest);
  visit("density", "kg/m^3", none, "density of the part", part.density);
  visit("friction", "1", none, "coefficient of friction of grains on the part", part.friction);
  visit("vertices", "m", kAnchorFrame, "corners of the triangles", part.mesh.vertices);
  visit("triangles", "1", none, "indices of vertices, outward winding", part.mesh.triangles);
}

template <class Bed, class Visit>
void visitBed(Bed& bed, Visit&& visit) {
  const char* none = kNoFrame;
  visit("name", "1", none, "name of the bed", bed.name);
  visit("hash", "1", none, "hash of the recipe the tile was settled from", bed.hash);
  visit("card", "1", none, "what is known of the bed, in words", bed.card);
  visit("length_x", "m", kWorldFrame, "periodic length along x, centred on 0", bed.lengthX);
  visit("length_y", "m", kWorldFrame, "periodic length along y, centred on 0", bed.lengthY);
  visit("floor_z", "m", kWorldFrame, "lower bound of the domain", bed.floorZ);
  visit("ceiling_z", "m", kWorldFrame, "upper bound of the domain", bed.ceilingZ);
  visit("tile_length_x", "m", kWorldFrame, "length of the settled tile along x", bed.tileLengthX);
  visit("tile_length_y", "m", kWorldFrame, "length of the settled tile along y", bed.tileLengthY);
  visit("tiles_x", "1", none, "copies of the tile along x", bed.tilesX);
  visit("tiles_y", "1", none, "copies of the tile along y", bed.tilesY);
  visit("grain_density", "kg/m^3", none, "density of the solid", bed.grainDensity);
  visit("young_modulus", "Pa", none, "softened modulus of the contact law", bed.youngModulus);
  visit("poisson_ratio", "1", none, "Poisson's ratio of the contact law", bed.poissonRatio);
  visit("friction", "1", none, "coefficient of friction, grain on grain", bed.friction);
  visit("rolling_friction", "1", none, "coefficient of rolling resistance", bed.rollingFriction);
  visit("restitution_coefficient", "1", none, "normal restitution of two grains",
        bed.restitutionCoefficient);
  visit("steel_setback", "1", none, "share of its diameter a grain is set back toward steel",
        bed.steelSetback);
  visit("water_density", "kg/m^3", none, "density of the water; 0 is a dry bed", bed.waterDensity);
  visit("grain_count", "1", none, "grains of the whole bed", bed.grainCount);
}

/// Lives under /frames.
template <class Bed, class Visit>
void visitGrains(Bed& bed, Visit&& visit) {
  visit("grain_id", "1", kNoFrame, "which grains of the bed are shown; none given: all, in order",
        bed.grainId);
  visit("radius", "m", kNoFrame, "radius of each grain shown", bed.radius);
  visit("reference_position", "m", kWorldFrame, "where displacements are counted from",
        bed.referencePosition);
  visit("frozen", "1", kNoFrame, "1: held in place", bed.frozen);
  visit("layer", "1", kNoFrame, "of a stack, from the top; none given: a bed of one soil",
        bed.layer);
}

inline constexpr const char* kLoadModeNames[] = {"prescribed speed", "prescribed load"};

}  // namespace holdground::format
