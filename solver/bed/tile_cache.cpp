// Tiles on disk: one file a recipe, named after its hash.
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "solver/bed/tile.hpp"
#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

namespace {

constexpr std::uint64_t kMagic = 0x34656c6974676800ull;  // "\0hgtile4"

std::vector<std::byte> bytesOf(const Tile& tile) {
  ByteWriter out;
  const GrainSet& g = tile.grains;
  out.put(kMagic);
  out.put(tile.recipeHash);
  for (const double x : {tile.solidFraction, tile.coordination, tile.settlingTime, tile.depth,
                         g.domain.lengthX, g.domain.lengthY, g.domain.floorZ, g.domain.ceilingZ})
    out.put(x);
  for (const auto* vectors : {&g.position, &g.velocity, &g.spin}) {
    out.put(vectors->size());
    for (const Vec3& v : *vectors) out.putCoefficients(v);
  }
  out.putVector(g.radius);
  out.putVector(g.frozen);
  out.putVector(g.soil);
  out.putVector(tile.layers);
  out.put(g.contacts.size());
  for (const ContactMemory& c : g.contacts) {
    out.put(c.a);
    out.put(c.b);
    out.putCoefficients(c.tangentialForce);
    out.putCoefficients(c.rollingMoment);
    out.put(c.tangentialStiffness);
    out.put(c.dent);
  }
  out.put(g.stones.size());
  for (const Stone& s : g.stones) {
    out.put(s.firstSphere);
    out.put(s.mass);
    for (const Vec3* v : {&s.inertia, &s.centreOfMass, &s.velocity, &s.spin})
      out.putCoefficients(*v);
    out.putCoefficients(s.orientation.coeffs());
    out.put(s.places.size());
    for (const Vec3& place : s.places) out.putCoefficients(place);
  }
  return out.take();
}

Tile tileOf(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  Tile tile;
  GrainSet& g = tile.grains;
  if (in.get<std::uint64_t>() != kMagic) throw SystemError("not a tile");
  tile.recipeHash = in.get<std::uint64_t>();
  for (double* x : {&tile.solidFraction, &tile.coordination, &tile.settlingTime, &tile.depth,
                    &g.domain.lengthX, &g.domain.lengthY, &g.domain.floorZ, &g.domain.ceilingZ})
    *x = in.get<double>();
  for (auto* vectors : {&g.position, &g.velocity, &g.spin}) {
    const auto count = in.get<std::size_t>();
    if (count > in.remaining() / sizeof(Vec3)) throw SystemError("cut short");
    vectors->resize(count);
    for (Vec3& v : *vectors) in.getCoefficients(v);
  }
  in.getVector(g.radius);
  in.getVector(g.frozen);
  in.getVector(g.soil);
  in.getVector(tile.layers);
  const auto contacts = in.get<std::size_t>();
  if (contacts > in.remaining() / 72) throw SystemError("cut short");
  g.contacts.resize(contacts);
  for (ContactMemory& c : g.contacts) {
    c.a = in.get<std::uint32_t>();
    c.b = in.get<std::uint32_t>();
    in.getCoefficients(c.tangentialForce);
    in.getCoefficients(c.rollingMoment);
    c.tangentialStiffness = in.get<double>();
    c.dent = in.get<double>();
  }
  const auto stones = in.get<std::size_t>();
  if (stones > in.remaining() / 64) throw SystemError("cut short");
  g.stones.resize(stones);
  for (Stone& s : g.stones) {
    s.firstSphere = in.get<std::uint32_t>();
    s.mass = in.get<double>();
    for (Vec3* v : {&s.inertia, &s.centreOfMass, &s.velocity, &s.spin}) in.getCoefficients(*v);
    in.getCoefficients(s.orientation.coeffs());
    const auto places = in.get<std::size_t>();
    if (places > Stone::kMostSpheres) throw SystemError("not a tile");
    s.places.resize(places);
    for (Vec3& place : s.places) in.getCoefficients(place);
  }
  return tile;
}

std::uint64_t checksum(std::span<const std::byte> bytes) {
  return hashText({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

}  // namespace

std::filesystem::path TileCache::fileOf(const TileRecipe& recipe) const {
  return folder_ / fmt::format("tile-{:016x}.bin", recipe.hash());
}

std::optional<Tile> TileCache::find(const TileRecipe& recipe) const {
  std::optional<Tile> tile = readTile(fileOf(recipe));
  if (tile.has_value() && tile->recipeHash != recipe.hash()) tile.reset();
  return tile;
}

void TileCache::keep(const TileRecipe& recipe, const Tile& tile) const {
  std::error_code failed;
  std::filesystem::create_directories(folder_, failed);
  writeTile(fileOf(recipe), tile);
}

std::optional<Tile> readTile(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary | std::ios::ate);
  if (!file) return std::nullopt;
  const auto size = static_cast<std::size_t>(file.tellg());
  if (size < 2 * sizeof(std::uint64_t)) return std::nullopt;
  std::vector<std::byte> bytes(size - sizeof(std::uint64_t));
  std::uint64_t sum = 0;
  file.seekg(0);
  file.read(reinterpret_cast<char*>(&sum), sizeof sum);
  file.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  if (!file || checksum(bytes) != sum) return std::nullopt;
  try {
    return tileOf(bytes);
  } catch (const SystemError&) {
    return std::nullopt;  // written by another version
  }
}

void writeTile(const std::filesystem::path& path, const Tile& tile) {
  std::error_code failed;
  const std::filesystem::path beside = path.string() + fmt::format(".{}", ::getpid());
  const std::vector<std::byte> bytes = bytesOf(tile);
  const std::uint64_t sum = checksum(bytes);
  {
    errno = 0;
    std::ofstream file(beside, std::ios::binary | std::ios::trunc);
    file.write(reinterpret_cast<const char*>(&sum), sizeof sum);
    file.write(reinterpret_cast<const char*>(bytes.data()),
               static_cast<std::streamsize>(bytes.size()));
    file.flush();
    if (!file) {
      const std::string reason = errno != 0 ? fmt::format(": {}", std::strerror(errno)) : "";
      file.close();
      std::filesystem::remove(beside, failed);
      throw SystemError(
          fmt::format("{}: the settled tile could not be written{}", path.string(), reason));
    }
  }
  std::filesystem::rename(beside, path, failed);
  if (!failed) return;
  const std::string reason = failed.message();
  std::filesystem::remove(beside, failed);
  throw SystemError(fmt::format("{}: {}", path.string(), reason));
}

}  // namespace holdground
