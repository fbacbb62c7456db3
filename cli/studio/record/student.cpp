#include "cli/studio/record/student.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace romanesca {
namespace {

constexpr std::array<std::string_view, all_entry_kinds.size()> kind_names{"set", "done", "chosen", "missed", "note"};

}  // namespace

std::string_view to_string(EntryKind kind) { return kind_names[static_cast<std::size_t>(kind)]; }

std::optional<EntryKind> parse_entry_kind(std::string_view word) {
  const auto found = std::find(kind_names.begin(), kind_names.end(), word);
  if (found == kind_names.end()) return std::nullopt;
  return all_entry_kinds[static_cast<std::size_t>(found - kind_names.begin())];
}

std::vector<Entry> open_entries(const std::vector<Entry>& entries) {
  std::set<int> answered;
  for (const Entry& entry : entries) {
    if (entry.kind == EntryKind::done || entry.kind == EntryKind::missed) answered.insert(entry.about);
  }
  std::vector<Entry> open;
  for (const Entry& entry : entries) {
    const bool given = entry.kind == EntryKind::set || entry.kind == EntryKind::chosen;
    if (given && !answered.contains(entry.number)) open.push_back(entry);
  }
  return open;
}

std::uint64_t text_hash(std::string_view text) noexcept {
  std::uint64_t hash = 0xCBF29CE484222325U;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
  return hash;
}

std::string uid_of(std::string_view name, const Date& since, std::int64_t id) {
  return fmt::format("{:016x}", text_hash(fmt::format("{}\n{}\n{}", name, to_string(since), id)));
}

std::string to_string(const std::vector<Key>& keys) {
  std::string text;
  for (const Key& key : keys) text += (text.empty() ? "" : ", ") + to_string(key);
  return text;
}

}  // namespace romanesca
