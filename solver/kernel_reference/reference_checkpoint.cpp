// Freezing and thawing the reference kernel: every array as it lies, so that a thawed run goes on
// bit for bit, its next rebuild at the same step.
#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"
#include "solver/kernel_reference/reference_kernel.hpp"

namespace holdground {
namespace {

void put(ByteWriter& out, const ContactDissipation& d) {
  for (const double term :
       {d.friction, d.normalDamping, d.tangentialDamping, d.rolling, d.plastic, d.historyArtefact})
    out.put(term);
}

void get(ByteReader& in, ContactDissipation& d) {
  for (double* term : {&d.friction, &d.normalDamping, &d.tangentialDamping, &d.rolling, &d.plastic,
                       &d.historyArtefact})
    *term = in.get<double>();
}

}  // namespace

std::vector<std::byte> ReferenceKernel::freeze() const {
  ByteWriter out;
  out.put<std::uint64_t>(grains_.size());
  out.put<std::uint64_t>(grid_.starts().size());
  out.put(steps_);
  out.put(startPotential_);
  for (const std::uint32_t start : grid_.starts()) out.put(start);
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) {
    const Grain& grain = grains_[slot];
    const GrainMotion& motion = motions_[slot];
    for (const Vec3* value : {&grain.position, &grain.velocity, &grain.spin, &motion.halfVelocity,
                              &motion.halfSpin, &motion.listPosition})
      out.putCoefficients(*value);
    for (const double value : {grain.radius, grain.inverseMass, motion.skin}) out.put(value);
    out.put(grain.id);
    out.put(grain.exposed);
    out.put(grain.soil);
  }
  for (const Block& block : blocks_) {
    put(out, block.dissipation);
    out.put(block.waterDrag);
    out.put<std::uint8_t>(block.outgrown ? 1 : 0);
    out.put<std::uint64_t>(block.pairs.size());
    for (const Pair& pair : block.pairs) {
      out.put(pair.i);
      out.put(pair.j);
      out.putCoefficients(pair.history.tangentialForce);
      out.putCoefficients(pair.history.rollingMoment);
      out.put(pair.history.tangentialStiffness);
      out.put(pair.history.dent);
    }
  }
  out.putVector(stones_.freeze());
  return out.take();
}

void ReferenceKernel::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  if (in.get<std::uint64_t>() != grains_.size() || in.get<std::uint64_t>() != grid_.starts().size())
    throw SystemError("checkpoint belongs to another bed");
  steps_ = in.get<std::uint64_t>();
  startPotential_ = in.get<double>();
  std::vector<std::uint32_t> starts(grid_.starts().size());
  for (std::uint32_t& start : starts) start = in.get<std::uint32_t>();
  grid_.setStarts(std::move(starts));
  for (std::size_t slot = 0; slot < grains_.size(); ++slot) {
    Grain& grain = grains_[slot];
    GrainMotion& motion = motions_[slot];
    for (Vec3* value : {&grain.position, &grain.velocity, &grain.spin, &motion.halfVelocity,
                        &motion.halfSpin, &motion.listPosition})
      in.getCoefficients(*value);
    for (double* value : {&grain.radius, &grain.inverseMass, &motion.skin})
      *value = in.get<double>();
    grain.id = in.get<std::uint32_t>();
    grain.exposed = in.get<std::uint16_t>();
    grain.soil = in.get<std::uint16_t>();
  }
  for (Block& block : blocks_) {
    get(in, block.dissipation);
    block.waterDrag = in.get<double>();
    block.outgrown = in.get<std::uint8_t>() != 0;
    block.pairs.resize(in.get<std::uint64_t>());
    for (Pair& pair : block.pairs) {
      pair.i = in.get<std::uint32_t>();
      pair.j = in.get<std::uint32_t>();
      const Grain& i = grains_[pair.i];
      const Grain& j = grains_[pair.j];
      pair.constants = pairConstants(i.radius, j.radius, i.inverseMass, j.inverseMass);
      in.getCoefficients(pair.history.tangentialForce);
      in.getCoefficients(pair.history.rollingMoment);
      pair.history.tangentialStiffness = in.get<double>();
      pair.history.dent = in.get<double>();
    }
  }
  std::vector<std::byte> stones;
  in.getVector(stones);
  stones_.thaw(stones);
  for (std::uint32_t slot = 0; slot < slotOfId_.size(); ++slot) slotOfId_[grains_[slot].id] = slot;
}

}  // namespace holdground
