#pragma once
// Grains as spheres with flat cut faces: the mapper draws one triangle a grain, and the fragment
// program intersects the line of sight with the sphere and with the faces of the window.
// Source: Gumhold 2003, "Splatting illuminated ellipsoids with depth correction", the idea of ray
// casting a quadric inside a splat. The cut is our own.

#include <vtkOpenGLSphereMapper.h>
#include <vtkSmartPointer.h>

#include <vector>

#include "postprocess/picture/bed_window.hpp"
#include "postprocess/picture/side_view.hpp"

class vtkActor;

namespace holdground {

/// Prepares an actor to draw cut spheres.
vtkSmartPointer<vtkActor> makeGrainActor();

/// Puts grains into the actor, coloured by speed.
/// @param topSpeed  at and above which the darkest colour is used [m/s]
void setGrains(vtkActor* actor, const std::vector<SeenGrain>& grains, double topSpeed);

/// Cuts the grains at the near side and at both ends of the window. Valid for one camera position.
/// @param eyeX, eyeY, eyeZ  rows of the rotation from world to camera are right, up, toward camera
/// @param eye  where the camera is [m]
void setCuts(vtkActor* actor, const BedWindow& window, const SideView& view, const Vec3& eye);

}  // namespace holdground
