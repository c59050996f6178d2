#include "postprocess/view/canvas.hpp"

#include <vtkBrush.h>
#include <vtkContext2D.h>
#include <vtkContextActor.h>
#include <vtkContextItem.h>
#include <vtkContextScene.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkObjectFactory.h>
#include <vtkPen.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkTextProperty.h>

#include <cmath>
#include <cstring>
#include <filesystem>

#include "postprocess/view/window_pixels.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr const char* kTypeface = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf";
constexpr const char* kBoldTypeface = "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf";

constexpr double kDescender = 0.2;  // of the typeface, in sizes

unsigned char opacityByte(const Colour& colour) {
  return static_cast<unsigned char>(std::lround(255.0 * colour.opacity));
}

}  // namespace

/// One item that paints a whole drawing; VTK's y runs upward.
class DrawingItem : public vtkContextItem {
 public:
  static DrawingItem* New();
  vtkTypeMacro(DrawingItem, vtkContextItem)

      const Drawing* drawing = nullptr;
  vtkImageData* below = nullptr;
  double scale = 1.0;
  double height = 0.0;  ///< of the canvas [px]

  bool Paint(vtkContext2D* pen) override {
    if (below != nullptr) pen->DrawImage(0.0f, 0.0f, below);
    for (const DrawnItem& item : drawing->items) {
      std::visit([&](const auto& it) { paintItem(pen, it); }, item);
    }
    return true;
  }

 protected:
  DrawingItem() = default;

 private:
  std::vector<float> placed(const std::vector<PagePoint>& points) const {
    std::vector<float> xy;
    for (const PagePoint& p : points) {
      xy.push_back(static_cast<float>(scale * p[0]));
      xy.push_back(static_cast<float>(height - scale * p[1]));
    }
    return xy;
  }

  void paintItem(vtkContext2D* pen, const Polyline& line) const {
    pen->GetPen()->SetColor(line.colour.red, line.colour.green, line.colour.blue,
                            opacityByte(line.colour));
    pen->GetPen()->SetWidth(static_cast<float>(scale * line.width));
    pen->GetPen()->SetLineType(vtkPen::SOLID_LINE);
    for (const Polyline& piece : dashes(line)) {
      std::vector<float> xy = placed(piece.points);
      pen->DrawPoly(xy.data(), static_cast<int>(piece.points.size()));
    }
  }

  void paintItem(vtkContext2D* pen, const Polygon& area) const {
    std::vector<float> xy = placed(area.points);
    pen->GetPen()->SetLineType(vtkPen::NO_PEN);
    pen->GetBrush()->SetColor(area.fill.red, area.fill.green, area.fill.blue,
                              opacityByte(area.fill));
    pen->DrawPolygon(xy.data(), static_cast<int>(area.points.size()));
  }

  void paintItem(vtkContext2D* pen, const Label& label) const {
    vtkNew<vtkTextProperty> type;
    type->SetFontFamily(VTK_FONT_FILE);
    type->SetFontFile(label.weight == Weight::Bold ? kBoldTypeface : kTypeface);
    type->SetFontSize(static_cast<int>(std::lround(scale * label.size)));
    type->SetColor(label.colour.red / 255.0, label.colour.green / 255.0, label.colour.blue / 255.0);
    type->SetOpacity(label.colour.opacity);
    type->SetJustification(label.anchoring == Anchoring::Start    ? VTK_TEXT_LEFT
                           : label.anchoring == Anchoring::Middle ? VTK_TEXT_CENTERED
                                                                  : VTK_TEXT_RIGHT);
    type->SetVerticalJustificationToBottom();
    // VTK's bottom lies a descender below the baseline.
    const double descender = kDescender * scale * label.size;
    const bool turned = label.turn == Turn::QuarterLeft;
    if (turned) type->SetOrientation(90.0);
    pen->ApplyTextProp(type);
    pen->DrawString(static_cast<float>(scale * label.at[0] + (turned ? descender : 0.0)),
                    static_cast<float>(height - scale * label.at[1] - (turned ? 0.0 : descender)),
                    label.text.c_str());
  }
};
vtkStandardNewMacro(DrawingItem);

struct Canvas::Impl {
  vtkNew<vtkRenderWindow> window;
  vtkNew<vtkRenderer> renderer;
  vtkNew<vtkContextActor> actor;
  vtkNew<DrawingItem> item;
};

Canvas::Canvas(int width, int height) : impl_(std::make_unique<Impl>()) {
  for (const char* typeface : {kTypeface, kBoldTypeface}) {
    if (!std::filesystem::exists(typeface)) {
      throw SystemError(std::string("no typeface at ") + typeface +
                        ": install the Debian package fonts-dejavu-core");
    }
  }
  impl_->window->SetOffScreenRendering(1);
  impl_->window->SetSize(width, height);
  impl_->window->SetMultiSamples(4);
  impl_->window->SetDPI(72);  // so that a type size in points is one in pixels
  impl_->window->AddRenderer(impl_->renderer);
  impl_->renderer->SetBackground(1.0, 1.0, 1.0);
  impl_->renderer->AddActor(impl_->actor);
  impl_->actor->GetScene()->AddItem(impl_->item);
  impl_->item->height = height;
}

Canvas::~Canvas() = default;

Raster Canvas::paint(const Raster& below, const Drawing& drawing, double scale) {
  vtkNew<vtkImageData> image;
  if (below.pixels() > 0) {
    image->SetDimensions(below.width, below.height, 1);
    image->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
    const std::size_t row = 3 * static_cast<std::size_t>(below.width);
    auto* bytes = static_cast<unsigned char*>(image->GetScalarPointer());
    for (int y = 0; y < below.height; ++y) {
      std::memcpy(bytes + row * static_cast<std::size_t>(below.height - 1 - y),
                  below.rgb.data() + row * static_cast<std::size_t>(y), row);
    }
    impl_->item->below = image;
  }
  impl_->item->drawing = &drawing;
  impl_->item->scale = scale;
  impl_->window->Render();
  impl_->item->below = nullptr;
  impl_->item->drawing = nullptr;
  return pixelsOf(impl_->window);
}

Raster painted(const Drawing& drawing, int scale) {
  Canvas canvas(scale * static_cast<int>(drawing.width), scale * static_cast<int>(drawing.height));
  return canvas.paint(Raster{}, drawing, scale);
}

}  // namespace holdground
