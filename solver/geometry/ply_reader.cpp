#include "solver/geometry/ply_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <limits>
#include <optional>

#include "solver/core/errors.hpp"

namespace holdground {

namespace {

enum class Encoding { kAscii, kLittle, kBig };

enum class Kind { kSigned, kUnsigned, kFloat };

struct Scalar {
  Kind kind = Kind::kFloat;
  std::size_t size = 4;
};

struct Property {
  std::string name;
  std::optional<Scalar> count;  ///< type of the length, when it is a list
  Scalar value;
};

struct Element {
  std::string name;
  std::uint64_t count = 0;
  std::vector<Property> properties;
};

std::optional<Scalar> scalarNamed(std::string_view word) {
  static constexpr struct {
    std::string_view first, second;
    Scalar scalar;
  } kTypes[] = {
      {"char", "int8", {Kind::kSigned, 1}},    {"uchar", "uint8", {Kind::kUnsigned, 1}},
      {"short", "int16", {Kind::kSigned, 2}},  {"ushort", "uint16", {Kind::kUnsigned, 2}},
      {"int", "int32", {Kind::kSigned, 4}},    {"uint", "uint32", {Kind::kUnsigned, 4}},
      {"float", "float32", {Kind::kFloat, 4}}, {"double", "float64", {Kind::kFloat, 8}},
  };
  for (const auto& type : kTypes) {
    if (word == type.first || word == type.second) return type.scalar;
  }
  return std::nullopt;
}

std::vector<std::string_view> wordsOf(std::string_view line) {
  std::vector<std::string_view> words;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t begin = line.find_first_not_of(" \t\r", at);
    if (begin == std::string_view::npos) break;
    const std::size_t end = std::min(line.find_first_of(" \t\r", begin), line.size());
    words.push_back(line.substr(begin, end - begin));
    at = end;
  }
  return words;
}

class PlyParser {
 public:
  PlyParser(std::string_view bytes, const std::string& name) : bytes_(bytes), name_(name) {}

  TriangleMesh parse() {
    readHeader();
    for (const Element& element : elements_) readElement(element);
    for (const auto& triangle : mesh_.triangles) {
      for (const std::uint32_t v : triangle) {
        if (v >= mesh_.vertices.size()) {
          fail(fmt::format("a face uses vertex {}, the file has {} (counted from 0)", v,
                           mesh_.vertices.size()));
        }
      }
    }
    return std::move(mesh_);
  }

 private:
  [[noreturn]] void fail(const std::string& what) const {
    throw InputError(fmt::format("{}: PLY: {}", name_, what));
  }

  std::string_view nextLine() {
    if (at_ >= bytes_.size()) fail("the header has no end_header");
    const std::size_t end = std::min(bytes_.find('\n', at_), bytes_.size());
    const std::string_view line = bytes_.substr(at_, end - at_);
    at_ = std::min(end + 1, bytes_.size());
    ++line_;
    return line;
  }

  void readHeader() {
    if (wordsOf(nextLine()) != std::vector<std::string_view>{"ply"})
      fail("does not begin with ply");
    bool hasFormat = false;
    for (;;) {
      const auto words = wordsOf(nextLine());
      if (words.empty() || words[0] == "comment" || words[0] == "obj_info") continue;
      if (words[0] == "end_header") break;
      if (words[0] == "format" && words.size() == 3) {
        readFormat(words[1]);
        hasFormat = true;
      } else if (words[0] == "element" && words.size() == 3) {
        addElement(words);
      } else if (words[0] == "property" && words.size() >= 3 && !elements_.empty()) {
        addProperty(words);
      } else {
        fail(fmt::format("line {} of the header is not understood", line_));
      }
    }
    if (!hasFormat) fail("the header names no format");
  }

  void readFormat(std::string_view word) {
    if (word == "ascii") {
      encoding_ = Encoding::kAscii;
    } else if (word == "binary_little_endian") {
      encoding_ = Encoding::kLittle;
    } else if (word == "binary_big_endian") {
      encoding_ = Encoding::kBig;
    } else {
      fail("unknown format, allowed: ascii, binary_little_endian, binary_big_endian");
    }
  }

  void addElement(const std::vector<std::string_view>& words) {
    Element element;
    element.name = words[1];
    const auto [end, error] =
        std::from_chars(words[2].data(), words[2].data() + words[2].size(), element.count);
    if (error != std::errc() || end != words[2].data() + words[2].size()) {
      fail(fmt::format("line {} of the header has no count", line_));
    }
    elements_.push_back(element);
  }

  void addProperty(const std::vector<std::string_view>& words) {
    const bool isList = words[1] == "list";
    if (words.size() != (isList ? 5u : 3u)) {
      fail(fmt::format("line {} of the header is not understood", line_));
    }
    Property property;
    property.name = words.back();
    const auto value = scalarNamed(words[isList ? 3 : 1]);
    if (isList) property.count = scalarNamed(words[2]);
    const bool badCount = isList && (!property.count || property.count->kind == Kind::kFloat);
    if (!value || badCount) fail(fmt::format("line {} of the header: unknown type", line_));
    property.value = *value;
    elements_.back().properties.push_back(property);
  }

  void readElement(const Element& element) {
    // An item takes at least a byte for each property (with its separator two, in text).
    const std::uint64_t least = element.properties.size();
    if (least == 0 && element.count > 0) fail("element " + element.name + " has no properties");
    if (element.count > (bytes_.size() - at_) / std::max<std::uint64_t>(least, 1)) {
      fail(fmt::format("{} of {} are announced, the file is too short for them", element.count,
                       element.name));
    }
    const bool isVertex = element.name == "vertex", isFace = element.name == "face";
    for (std::uint64_t i = 0; i < element.count; ++i) {
      Vec3 point = Vec3::Constant(std::numeric_limits<double>::quiet_NaN());
      for (const Property& property : element.properties) {
        if (property.count) {
          readList(property, isFace, i);
          continue;
        }
        const double value = next(property.value, element.name, i);
        if (isVertex && property.name.size() == 1 && property.name[0] >= 'x' &&
            property.name[0] <= 'z') {
          point[property.name[0] - 'x'] = value;
        }
      }
      if (isVertex) mesh_.vertices.push_back(point);
    }
  }

  void readList(const Property& property, bool isFace, std::uint64_t item) {
    const bool isIndices =
        isFace && (property.name == "vertex_indices" || property.name == "vertex_index");
    const double count = next(*property.count, "list", item);
    if (!(count >= 0.0 && count <= static_cast<double>(bytes_.size() - at_))) {
      fail(fmt::format("face {} has a list of {}, the file is too short for it", item, count));
    }
    polygon_.clear();
    for (double k = 0.0; k < count; k += 1.0) {
      const double value = next(property.value, "list", item);
      if (!isIndices) continue;
      if (!(value >= 0.0 && value < 4294967295.0) || value != std::floor(value)) {
        fail(fmt::format("face {} has {} for a vertex index", item, value));
      }
      polygon_.push_back(static_cast<std::uint32_t>(value));
    }
    if (!isIndices) return;
    if (polygon_.size() < 3) fail(fmt::format("face {} has fewer than 3 corners", item));
    for (std::size_t k = 2; k < polygon_.size(); ++k) {
      mesh_.triangles.push_back({polygon_[0], polygon_[k - 1], polygon_[k]});
    }
  }

  double next(const Scalar& scalar, const std::string& element, std::uint64_t item) {
    return encoding_ == Encoding::kAscii ? nextWord(element, item)
                                         : nextBytes(scalar, element, item);
  }

  double nextWord(const std::string& element, std::uint64_t item) {
    constexpr std::string_view kSpace = " \t\r\n";
    const std::size_t begin = bytes_.find_first_not_of(kSpace, at_);
    if (begin == std::string_view::npos) {
      fail(fmt::format("the file ends within {} {}", element, item));
    }
    const std::size_t end = std::min(bytes_.find_first_of(kSpace, begin), bytes_.size());
    double value = 0.0;
    const auto [stop, error] = std::from_chars(bytes_.data() + begin, bytes_.data() + end, value);
    if (error != std::errc() || stop != bytes_.data() + end) {
      fail(fmt::format("{} {} holds something that is no number", element, item));
    }
    at_ = end;
    return value;
  }

  double nextBytes(const Scalar& scalar, const std::string& element, std::uint64_t item) {
    if (bytes_.size() - at_ < scalar.size) {
      fail(fmt::format("the file ends within {} {}", element, item));
    }
    std::uint64_t bits = 0;
    for (std::size_t k = 0; k < scalar.size; ++k) {
      const std::size_t place = encoding_ == Encoding::kLittle ? k : scalar.size - 1 - k;
      bits |= static_cast<std::uint64_t>(static_cast<unsigned char>(bytes_[at_ + k]))
              << (8 * place);
    }
    at_ += scalar.size;
    if (scalar.kind == Kind::kUnsigned) return static_cast<double>(bits);
    if (scalar.kind == Kind::kFloat) {
      return scalar.size == 8 ? std::bit_cast<double>(bits)
                              : std::bit_cast<float>(static_cast<std::uint32_t>(bits));
    }
    const std::uint64_t sign = std::uint64_t{1} << (8 * scalar.size - 1);
    return static_cast<double>(static_cast<std::int64_t>(bits ^ sign) -
                               static_cast<std::int64_t>(sign));
  }

  std::string_view bytes_;
  const std::string& name_;
  std::size_t at_ = 0;
  int line_ = 0;
  Encoding encoding_ = Encoding::kAscii;
  std::vector<Element> elements_;
  std::vector<std::uint32_t> polygon_;
  TriangleMesh mesh_;
};

}  // namespace

TriangleMesh parsePly(std::string_view bytes, const std::string& name) {
  return PlyParser(bytes, name).parse();
}

}  // namespace holdground
