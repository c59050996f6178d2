#include "solver/record/checkpoint.hpp"

#include <fcntl.h>
#include <unistd.h>
#include <zlib.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr char kMagic[] = "holdground-check";
constexpr std::size_t kMagicBytes = 16;
constexpr std::uint32_t kByteOrder = 0x01020304u;

std::uint32_t checksum(std::span<const std::byte> bytes) {
  const auto* data = reinterpret_cast<const Bytef*>(bytes.data());
  return static_cast<std::uint32_t>(crc32_z(0, data, bytes.size()));
}

class Output {
 public:
  void add(const void* data, std::size_t size) {
    const auto* first = static_cast<const std::byte*>(data);
    bytes_.insert(bytes_.end(), first, first + size);
  }
  template <class Value>
  void add(Value value) {
    add(&value, sizeof value);
  }
  const std::vector<std::byte>& bytes() const { return bytes_; }

 private:
  std::vector<std::byte> bytes_;
};

/// Takes values from the front; false once there is not enough left.
class Input {
 public:
  explicit Input(std::span<const std::byte> bytes) : rest_(bytes) {}
  template <class Value>
  bool take(Value& value) {
    if (rest_.size() < sizeof value) return false;
    std::memcpy(&value, rest_.data(), sizeof value);
    rest_ = rest_.subspan(sizeof value);
    return true;
  }
  bool take(std::size_t size, std::span<const std::byte>& bytes) {
    if (rest_.size() < size) return false;
    bytes = rest_.first(size);
    rest_ = rest_.subspan(size);
    return true;
  }
  bool takeSized(std::span<const std::byte>& bytes) {
    std::uint64_t size = 0;
    return take(size) && take(size, bytes);
  }
  bool empty() const { return rest_.empty(); }

 private:
  std::span<const std::byte> rest_;
};

std::vector<std::byte> readAll(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary | std::ios::ate);
  std::error_code ignored;
  if (!file || !std::filesystem::is_regular_file(path, ignored))
    throw InputError("there is no checkpoint '" + path.string() + "'");
  std::vector<std::byte> bytes(static_cast<std::size_t>(file.tellg()));
  file.seekg(0);
  file.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  if (!file) throw SystemError("cannot read checkpoint '" + path.string() + "'");
  return bytes;
}

/// Writes all bytes and waits for the disk. The reason when it cannot, else empty.
std::string writeAndSync(const std::filesystem::path& path, std::span<const std::byte> bytes) {
  const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (fd < 0) return std::strerror(errno);
  std::string reason;
  while (!bytes.empty() && reason.empty()) {
    const ssize_t written = ::write(fd, bytes.data(), bytes.size());
    if (written >= 0)
      bytes = bytes.subspan(static_cast<std::size_t>(written));
    else if (errno != EINTR)
      reason = std::strerror(errno);
  }
  // A file system that cannot flush says EINVAL; there is nothing more to be had from it.
  if (reason.empty() && ::fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP)
    reason = std::strerror(errno);
  if (::close(fd) != 0 && reason.empty()) reason = std::strerror(errno);
  return reason;
}

/// Makes a renaming survive a loss of power; not every file system can.
void syncDirectory(const std::filesystem::path& file) {
  const auto parent = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
  const int fd = ::open(parent.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0) return;
  ::fsync(fd);
  ::close(fd);
}

}  // namespace

void Checkpoint::put(const std::string& name, std::vector<std::byte> bytes) {
  blocks_[name] = std::move(bytes);
}

std::span<const std::byte> Checkpoint::bytes(const std::string& name) const {
  const auto found = blocks_.find(name);
  if (found == blocks_.end()) throw InputError("the checkpoint has no block '" + name + "'");
  return found->second;
}

void Checkpoint::copyExactly(const std::string& name, void* target, std::size_t size) const {
  const auto source = bytes(name);
  if (source.size() != size)
    throw InputError("block '" + name + "' of the checkpoint has " + std::to_string(source.size()) +
                     " bytes instead of " + std::to_string(size));
  std::memcpy(target, source.data(), size);
}

void Checkpoint::write(const std::filesystem::path& path) const {
  Output out;
  out.add(kMagic, kMagicBytes);
  out.add(kByteOrder);
  out.add(kVersion);
  out.add(std::uint64_t{blocks_.size()});
  for (const auto& [name, content] : blocks_) {
    out.add(std::uint64_t{name.size()});
    out.add(name.data(), name.size());
    out.add(std::uint64_t{content.size()});
    out.add(content.data(), content.size());
  }
  out.add(checksum(out.bytes()));

  std::filesystem::path temporary = path;
  temporary += ".new";
  std::string reason = writeAndSync(temporary, out.bytes());
  std::error_code error;
  if (reason.empty()) {
    std::filesystem::rename(temporary, path, error);
    if (error) reason = error.message();
  }
  if (!reason.empty()) {
    std::filesystem::remove(temporary, error);
    throw SystemError("cannot write checkpoint '" + path.string() + "': " + reason);
  }
  syncDirectory(path);
}

Checkpoint Checkpoint::read(const std::filesystem::path& path) {
  const std::vector<std::byte> all = readAll(path);
  const std::string name = "checkpoint '" + path.string() + "'";
  Input input(all);
  std::span<const std::byte> magic;
  if (!input.take(kMagicBytes, magic) || std::memcmp(magic.data(), kMagic, kMagicBytes) != 0)
    throw InputError("'" + path.string() + "' is not a checkpoint");
  std::uint32_t byteOrder = 0, version = 0;
  std::uint64_t blocks = 0;
  const InputError damaged(name + " is damaged; start the run afresh or give another one");
  if (!input.take(byteOrder) || !input.take(version) || !input.take(blocks)) throw damaged;
  if (byteOrder != kByteOrder)
    throw InputError(name + " was written on a machine of another byte order");
  if (version != kVersion)
    throw InputError(name + " has version " + std::to_string(version) +
                     ", this program continues from version " + std::to_string(kVersion));
  Checkpoint result;
  for (std::uint64_t k = 0; k < blocks; ++k) {
    std::span<const std::byte> title, content;
    if (!input.takeSized(title) || !input.takeSized(content)) throw damaged;
    result.put({reinterpret_cast<const char*>(title.data()), title.size()},
               {content.begin(), content.end()});
  }
  std::uint32_t stored = 0;
  if (!input.take(stored) || !input.empty() || result.blocks_.size() != blocks) throw damaged;
  if (stored != checksum(std::span(all).first(all.size() - sizeof stored))) throw damaged;
  return result;
}

}  // namespace holdground
