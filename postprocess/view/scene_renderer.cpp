#include "postprocess/view/scene_renderer.hpp"

#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkLight.h>
#include <vtkMatrix4x4.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkPolyDataNormals.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkTubeFilter.h>

#include "postprocess/chart/palette.hpp"
#include "postprocess/picture/depth_shading.hpp"
#include "postprocess/view/sphere_cut.hpp"
#include "postprocess/view/window_pixels.hpp"

namespace holdground {
namespace {

constexpr double kCameraDistance = 6.0;   // from the target; a parallel view does not feel it [m]
constexpr double kFarDistance = 12.0;     // [m]
constexpr double kNearDistance = 0.1;     // [m]
constexpr double kRodeRadius = 0.008;     // [m]
constexpr double kSurfaceRadius = 0.003;  // of the dashes that mark the undisturbed surface [m]
constexpr double kSurfaceDash = 0.04;     // length of dashes and gaps [m]
constexpr double kCreaseAngle = 30.0;     // edges sharper than this stay sharp [degrees]

void setColour(vtkProperty* property, const Colour& colour) {
  property->SetColor(colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
}

vtkSmartPointer<vtkPolyData> polyDataOf(const TriangleMesh& mesh) {
  vtkNew<vtkPoints> points;
  for (const Vec3& vertex : mesh.vertices) points->InsertNextPoint(vertex.data());
  vtkNew<vtkCellArray> triangles;
  for (const auto& triangle : mesh.triangles) {
    triangles->InsertNextCell({static_cast<vtkIdType>(triangle[0]),
                               static_cast<vtkIdType>(triangle[1]),
                               static_cast<vtkIdType>(triangle[2])});
  }
  auto data = vtkSmartPointer<vtkPolyData>::New();
  data->SetPoints(points);
  data->SetPolys(triangles);
  return data;
}

vtkSmartPointer<vtkActor> steelActor(const TriangleMesh& mesh) {
  vtkNew<vtkPolyDataNormals> normals;
  normals->SetInputData(polyDataOf(mesh));
  normals->SetFeatureAngle(kCreaseAngle);
  normals->Update();
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputConnection(normals->GetOutputPort());
  auto actor = vtkSmartPointer<vtkActor>::New();
  actor->SetMapper(mapper);
  setColour(actor->GetProperty(), palette::kSteel);
  actor->GetProperty()->SetAmbient(0.45);
  actor->GetProperty()->SetDiffuse(0.85);
  actor->GetProperty()->SetSpecular(0.35);
  actor->GetProperty()->SetSpecularPower(24.0);
  return actor;
}

// Lines as thin round rods, one for each chain of points.
void setRods(vtkActor* actor, const std::vector<std::vector<Vec3>>& chains, double radius) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> lines;
  for (const std::vector<Vec3>& chain : chains) {
    lines->InsertNextCell(static_cast<int>(chain.size()));
    for (const Vec3& point : chain) lines->InsertCellPoint(points->InsertNextPoint(point.data()));
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(lines);
  vtkNew<vtkTubeFilter> tube;
  tube->SetInputData(data);
  tube->SetRadius(radius);
  tube->SetNumberOfSides(12);
  tube->CappingOn();
  tube->Update();
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(tube->GetOutput());
  actor->SetMapper(mapper);
}

std::vector<std::vector<Vec3>> surfaceDashes(const BedWindow& window) {
  std::vector<std::vector<Vec3>> dashes;
  for (double x = window.fromX; x < window.toX; x += 2.0 * kSurfaceDash) {
    const double end = std::min(x + kSurfaceDash, window.toX);
    dashes.push_back({Vec3(x, window.cutY, 0.0), Vec3(end, window.cutY, 0.0)});
  }
  return dashes;
}

void addLight(vtkRenderer* renderer, const Vec3& from, double intensity) {
  vtkNew<vtkLight> light;
  light->SetLightTypeToSceneLight();
  light->SetPosition(from.data());
  light->SetFocalPoint(0.0, 0.0, 0.0);
  light->SetPositional(0);
  light->SetIntensity(intensity);
  renderer->AddLight(light);
}

}  // namespace

struct SceneRenderer::Impl {
  int oversampling = 1;
  Vec3 centreOfMass = Vec3::Zero();
  vtkNew<vtkRenderWindow> window;
  vtkNew<vtkRenderer> renderer;
  vtkSmartPointer<vtkActor> grains = makeGrainActor();
  vtkNew<vtkActor> rode;
  vtkNew<vtkActor> surface;
  std::vector<vtkSmartPointer<vtkActor>> steel;

  void placeAnchor(const Scene& scene);
  Vec3 placeCamera(const SideView& view, int width, int height);
};

SceneRenderer::SceneRenderer(int width, int height, int oversampling,
                             const AnchorDescription& anchor)
    : impl_(std::make_unique<Impl>()) {
  Impl& my = *impl_;
  my.oversampling = oversampling;
  my.centreOfMass = anchor.centreOfMass;
  my.window->SetOffScreenRendering(1);
  my.window->SetMultiSamples(0);  // depths are read back, and averaging down smooths as well
  my.window->SetSize(width * oversampling, height * oversampling);
  my.window->AddRenderer(my.renderer);
  my.renderer->SetGradientBackground(true);
  const auto paint = [](const Colour& c) {
    return std::array<double, 3>{c.red / 255.0, c.green / 255.0, c.blue / 255.0};
  };
  my.renderer->SetBackground(paint(palette::kPaper).data());
  my.renderer->SetBackground2(paint(palette::kWater).data());
  my.renderer->AutomaticLightCreationOff();
  addLight(my.renderer, Vec3(-0.55, -0.6, 1.0), 0.9);
  addLight(my.renderer, Vec3(0.9, -0.8, 0.3), 0.35);
  my.renderer->AddActor(my.grains);
  for (const PartDescription& part : anchor.parts) {
    my.steel.push_back(steelActor(part.mesh));
    my.renderer->AddActor(my.steel.back());
  }
  setColour(my.rode->GetProperty(), palette::kRode);
  setColour(my.surface->GetProperty(), palette::kInk);
  my.surface->GetProperty()->LightingOff();
  my.renderer->AddActor(my.rode);
  my.renderer->AddActor(my.surface);
}

SceneRenderer::~SceneRenderer() = default;

void SceneRenderer::Impl::placeAnchor(const Scene& scene) {
  const Mat3 rotation = scene.orientation.toRotationMatrix();
  const Vec3 origin = scene.bodyPosition - rotation * centreOfMass;
  vtkNew<vtkMatrix4x4> pose;
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 3; ++column) {
      pose->SetElement(row, column, rotation(row, column));
    }
    pose->SetElement(row, 3, origin(row));
  }
  for (const auto& part : steel) part->SetUserMatrix(pose);
}

Vec3 SceneRenderer::Impl::placeCamera(const SideView& view, int width, int height) {
  const Vec3 middle = view.target +
                      (0.5 * width - view.targetPixel[0]) * view.metresPerPixel * view.right() -
                      (0.5 * height - view.targetPixel[1]) * view.metresPerPixel * view.up();
  const Vec3 eye = middle + kCameraDistance * view.towardCamera();
  vtkCamera* camera = renderer->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetParallelScale(0.5 * height * view.metresPerPixel);
  camera->SetFocalPoint(middle.data());
  camera->SetPosition(eye.data());
  camera->SetViewUp(view.up().data());
  camera->SetClippingRange(kNearDistance, kFarDistance);
  return eye;
}

Raster SceneRenderer::render(const Scene& scene, const SideView& view) {
  Impl& my = *impl_;
  const int* size = my.window->GetSize();
  const Vec3 eye = my.placeCamera(view, size[0] / my.oversampling, size[1] / my.oversampling);
  my.placeAnchor(scene);
  setGrains(my.grains, scene.grains, scene.topSpeed);
  setCuts(my.grains, scene.window, view, eye);
  my.rode->SetVisibility(scene.rode.size() > 1);
  if (scene.rode.size() > 1) setRods(my.rode, {scene.rode}, kRodeRadius);
  setRods(my.surface, surfaceDashes(scene.window), kSurfaceRadius);
  my.window->Render();

  Raster large = pixelsOf(my.window);
  std::vector<float> depth = depthsOf(my.window);
  for (float& value : depth) {
    value = static_cast<float>(kNearDistance + value * (kFarDistance - kNearDistance));
  }
  DepthShading shading;
  shading.metresPerPixel = view.metresPerPixel / my.oversampling;
  shade(large, openness(depth, large.width, large.height, shading));
  return averagedDown(large, my.oversampling);
}

}  // namespace holdground
