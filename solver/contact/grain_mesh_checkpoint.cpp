// Contacts with the steel to bytes and back, bit for bit.
#include "solver/contact/grain_mesh_contacts.hpp"
#include "solver/core/byte_stream.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

std::vector<std::byte> GrainMeshContacts::freeze() const {
  ByteWriter out;
  for (const double value :
       {dissipated_.friction, dissipated_.normalDamping, dissipated_.tangentialDamping,
        dissipated_.rolling, dissipated_.historyArtefact})
    out.put(value);
  out.putCoefficients(slidingWork_);
  // The load of the last step, which is shown until the next.
  out.put(static_cast<std::uint64_t>(load_.contacts));
  out.put(load_.largestOverlapRatio);
  out.put(load_.normalForce);
  out.put(penetration_.largestOverlapRatio);
  out.put(penetration_.passages);
  for (const BodyLoad& part : load_.part) {
    out.putCoefficients(part.force);
    out.putCoefficients(part.torque);
  }
  const std::vector<Memory> all = memories();
  out.put(static_cast<std::uint64_t>(all.size()));
  for (const Memory& memory : all) {
    out.put(memory.id);
    out.put(memory.radius);
    if (soils_.size() > 1) out.put(memory.soil);
    out.put(memory.size);
    for (int k = 0; k < memory.size; ++k) {
      const Contact& contact = memory.contacts[static_cast<std::size_t>(k)];
      out.putCoefficients(contact.history.tangentialForce);
      out.putCoefficients(contact.history.rollingMoment);
      out.put(contact.history.tangentialStiffness);
      out.putCoefficients(contact.point);
      out.putCoefficients(contact.normal);
      out.put(contact.triangle);
      out.put(contact.patches.size());
      for (int j = 0; j < contact.patches.size(); ++j) out.put(contact.patches[j]);
    }
  }
  return out.take();
}

void GrainMeshContacts::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  for (double* value :
       {&dissipated_.friction, &dissipated_.normalDamping, &dissipated_.tangentialDamping,
        &dissipated_.rolling, &dissipated_.historyArtefact})
    *value = in.get<double>();
  in.getCoefficients(slidingWork_);
  load_.contacts = in.get<std::uint64_t>();
  load_.largestOverlapRatio = in.get<double>();
  load_.normalForce = in.get<double>();
  penetration_.largestOverlapRatio = in.get<double>();
  penetration_.passages = in.get<std::uint64_t>();
  load_.total = {};
  for (BodyLoad& part : load_.part) {
    in.getCoefficients(part.force);
    in.getCoefficients(part.torque);
    load_.total += part;
  }
  candidates_.clear();
  thawed_.clear();
  needsRefresh_ = true;
  const auto count = in.get<std::uint64_t>();
  for (std::uint64_t n = 0; n < count; ++n) {
    Memory memory;
    memory.id = in.get<std::uint32_t>();
    memory.radius = in.get<double>();
    if (soils_.size() > 1) memory.soil = in.get<std::uint8_t>();
    if (memory.soil >= soils_.size()) throw SystemError("checkpoint: it belongs to another bed");
    memory.size = in.get<int>();
    if (memory.size < 0 || memory.size > kMaxContacts)
      throw SystemError("checkpoint: contacts of a grain with the steel make no sense");
    for (int k = 0; k < memory.size; ++k) {
      Contact& contact = memory.contacts[static_cast<std::size_t>(k)];
      in.getCoefficients(contact.history.tangentialForce);
      in.getCoefficients(contact.history.rollingMoment);
      contact.history.tangentialStiffness = in.get<double>();
      in.getCoefficients(contact.point);
      in.getCoefficients(contact.normal);
      contact.triangle = in.get<std::uint32_t>();
      contact.patches = PatchSet();
      const int patches = in.get<int>();
      for (int j = 0; j < patches; ++j) contact.patches.add(in.get<std::uint32_t>());
    }
    thawed_.push_back(memory);
  }
}

std::uint64_t GrainMeshContacts::stateHash() const {
  std::uint64_t hash = 0;
  for (const std::byte b : freeze()) hash = hashBits(hash, b);
  return hash;
}

}  // namespace holdground
