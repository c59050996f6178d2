// The fast kernel to bytes and back, bit for bit.
#include <algorithm>

#include "solver/core/byte_stream.hpp"
#include "solver/kernel_fast/fast_kernel.hpp"

namespace holdground {

using fast::Block;

std::vector<std::byte> FastKernel::freeze() const {
  ByteWriter out;
  out.putVector(state_.grains);
  out.putVector(state_.motions);
  out.putVector(state_.ids);
  out.putVector(state_.reserve);
  out.putVector(state_.soils);
  out.put(state_.rebuilds);
  out.put(steps_);
  out.put(state_.blocks.size());
  for (const Block& block : state_.blocks) {
    out.put(block.first);
    out.put(block.end);
    out.putVector(block.runs);
    out.putVector(block.candidates);
    out.putVector(block.neighbours);
    out.putVector(block.lower);
    out.putVector(block.upper);
    out.putVector(block.history);
    out.putVector(block.dents);
    out.putVector(block.places);
    for (const double loss : {block.losses.friction, block.losses.normalDamping,
                              block.losses.tangentialDamping, block.losses.rolling,
                              block.losses.plastic, block.losses.historyArtefact, block.waterDrag})
      out.put(loss);
    out.put(block.outOfDate);
  }
  out.putVector(stones_.freeze());
  return out.take();
}

void FastKernel::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  const std::size_t expected = size();
  in.getVector(state_.grains);
  in.getVector(state_.motions);
  in.getVector(state_.ids);
  in.getVector(state_.reserve);
  in.getVector(state_.soils);
  if (state_.ids.size() != expected) throw SystemError("checkpoint: it belongs to another bed");
  state_.rebuilds = in.get<std::uint64_t>();
  steps_ = in.get<std::uint64_t>();
  state_.blocks.assign(in.get<std::size_t>(), Block{});
  for (Block& block : state_.blocks) {
    block.first = in.get<std::uint32_t>();
    block.end = in.get<std::uint32_t>();
    in.getVector(block.runs);
    in.getVector(block.candidates);
    in.getVector(block.neighbours);
    in.getVector(block.lower);
    in.getVector(block.upper);
    in.getVector(block.history);
    in.getVector(block.dents);
    in.getVector(block.places);
    for (double* loss : {&block.losses.friction, &block.losses.normalDamping,
                         &block.losses.tangentialDamping, &block.losses.rolling,
                         &block.losses.plastic, &block.losses.historyArtefact, &block.waterDrag})
      *loss = in.get<double>();
    block.outOfDate = in.get<bool>();
  }
  std::vector<std::byte> stones;
  in.getVector(stones);
  stones_.thaw(stones);
  fitBlocks();
}

}  // namespace holdground
