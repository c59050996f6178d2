#include "postprocess/view/sphere_cut.hpp"

#include <vtkActor.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkProperty.h>
#include <vtkShaderProperty.h>
#include <vtkUniforms.h>
#include <vtkUnsignedCharArray.h>

#include <array>

#include "postprocess/chart/palette.hpp"

namespace holdground {
namespace {

// Each face is a plane in camera coordinates: outward normal and offset, outside where
// dot(normal, point) > offset. The sphere's piece of the ray and the block's piece of the ray are
// intersected; where the ray enters by a face, the grain shows its section.
constexpr const char* kRayCast = R"(
  vec3 rayFrom = cameraParallel != 0 ? vec3(vertexVC.xy, 0.0) : vec3(0.0);
  vec3 rayAlong = cameraParallel != 0 ? vec3(0.0, 0.0, -1.0) : normalize(vertexVC.xyz);
  vec3 offCentre = rayFrom - centerVCVSOutput;
  float halfB = dot(offCentre, rayAlong);
  // The distance of the ray from the centre, formed first: the plain discriminant loses digits.
  vec3 closest = offCentre - halfB * rayAlong;
  float inside = radiusVCVSOutput * radiusVCVSOutput - dot(closest, closest);
  if (inside < 0.0) { discard; }
  float enter = -halfB - sqrt(inside);
  float leave = -halfB + sqrt(inside);
  vec3 normalVCVSOutput = normalize(offCentre + enter * rayAlong);
  bool section = false;
  vec4 faces[3];
  faces[0] = cutNear; faces[1] = cutAft; faces[2] = cutFore;
  for (int k = 0; k < 3; ++k) {
    float slope = dot(faces[k].xyz, rayAlong);
    float outside = dot(faces[k].xyz, rayFrom) - faces[k].w;
    if (abs(slope) < 1e-6) { if (outside > 0.0) { discard; } continue; }
    float crossing = -outside / slope;
    if (slope > 0.0) { leave = min(leave, crossing); continue; }
    if (crossing > enter) { enter = crossing; section = true; normalVCVSOutput = faces[k].xyz; }
  }
  if (enter >= leave) { discard; }
  vertexVC.xyz = rayFrom + enter * rayAlong;
  vec4 pos = VCDCMatrix * vertexVC;
  gl_FragDepth = (pos.z / pos.w + 1.0) / 2.0;
)";

// A section is flat and evenly lit, with a darker rim like a cut pebble's.
constexpr const char* kSectionColour = R"(
  if (section) {
    vec3 arm = vertexVC.xyz - centerVCVSOutput;
    float depthOfCut = dot(normalVCVSOutput, arm);
    float along = length(arm - depthOfCut * normalVCVSOutput);
    float edge = sqrt(max(0.0, radiusVCVSOutput * radiusVCVSOutput - depthOfCut * depthOfCut));
    float rim = smoothstep(edge - 0.14 * radiusVCVSOutput, edge, along);
    ambientColor = vertexColorVSOutput.rgb * (1.0 - 0.45 * rim);
    diffuseColor = vec3(0.0);
  }
)";

void setFace(vtkActor* actor, const char* name, const SideView& view, const Vec3& eye,
             const Vec3& point, const Vec3& outward) {
  const std::array<float, 4> plane = {static_cast<float>(outward.dot(view.right())),
                                      static_cast<float>(outward.dot(view.up())),
                                      static_cast<float>(outward.dot(view.towardCamera())),
                                      static_cast<float>(outward.dot(point - eye))};
  actor->GetShaderProperty()->GetFragmentCustomUniforms()->SetUniform4f(name, plane.data());
}

}  // namespace

vtkSmartPointer<vtkActor> makeGrainActor() {
  auto actor = vtkSmartPointer<vtkActor>::New();
  vtkNew<vtkOpenGLSphereMapper> mapper;
  mapper->SetScaleArray("radius");
  mapper->SetScalarModeToUsePointData();
  mapper->SetColorModeToDirectScalars();
  actor->SetMapper(mapper);
  actor->GetProperty()->SetAmbient(0.38);
  actor->GetProperty()->SetDiffuse(0.62);
  actor->GetProperty()->SetSpecular(0.0);
  vtkShaderProperty* program = actor->GetShaderProperty();
  program->AddFragmentShaderReplacement("//VTK::Depth::Impl", true, kRayCast, false);
  program->AddFragmentShaderReplacement("//VTK::Normal::Impl", true, kSectionColour, false);
  return actor;
}

void setGrains(vtkActor* actor, const std::vector<SeenGrain>& grains, double topSpeed) {
  const auto count = static_cast<vtkIdType>(grains.size());
  vtkNew<vtkPoints> points;
  points->SetNumberOfPoints(count);
  vtkNew<vtkFloatArray> radius;
  radius->SetName("radius");
  radius->SetNumberOfValues(count);
  vtkNew<vtkUnsignedCharArray> colour;
  colour->SetName("colour");
  colour->SetNumberOfComponents(3);
  colour->SetNumberOfTuples(count);
  vtkNew<vtkCellArray> vertices;  // without vertex cells the mapper draws nothing
  for (vtkIdType k = 0; k < count; ++k) {
    const SeenGrain& grain = grains[static_cast<std::size_t>(k)];
    points->SetPoint(k, grain.position.data());
    radius->SetValue(k, static_cast<float>(grain.radius));
    const Colour c = palette::grainColour(grain.speed / topSpeed, grain.layer);
    colour->SetTuple3(k, c.red, c.green, c.blue);
    vertices->InsertNextCell(1, &k);
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetVerts(vertices);
  data->GetPointData()->AddArray(radius);
  data->GetPointData()->SetScalars(colour);
  static_cast<vtkOpenGLSphereMapper*>(actor->GetMapper())->SetInputData(data);
}

void setCuts(vtkActor* actor, const BedWindow& window, const SideView& view, const Vec3& eye) {
  const Vec3 aft(window.fromX, window.cutY, 0.0);
  const Vec3 fore(window.toX, window.cutY, 0.0);
  setFace(actor, "cutNear", view, eye, aft, -Vec3::UnitY());
  setFace(actor, "cutAft", view, eye, aft, -Vec3::UnitX());
  setFace(actor, "cutFore", view, eye, fore, Vec3::UnitX());
}

}  // namespace holdground
