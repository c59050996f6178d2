#pragma once
// Meshes of the bodies of a probe: drawn from their dimensions, or read and checked.
// Round shapes have 48 sides whose corners lie on the circle: 0.2 % flat at most.
// Frame: that of the body, origin in its pivot. Metres.
// Checked by: tests/unit/scenarios/probe_shapes_test.cpp

#include "scenarios/schema/probe_spec.hpp"
#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// A closed solid. InputError when a file holds none.
TriangleMesh probeMesh(const ProbeBodySpec& body);

/// The same where it stands at the start, world frame.
TriangleMesh probeMeshAtStart(const ProbeBodySpec& body, const TriangleMesh& mesh);

}  // namespace holdground
