#include "progressions/library.h"

#include <fmt/format.h>

#include <algorithm>

#include "progressions/toml_rows.h"
#include "theory/songs/progression_text.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

Parsed<Pattern> read_pattern(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  Pattern pattern;
  pattern.id = id;
  pattern.chords = table.string("chords").value_or("");
  pattern.level = table.integer("level").value_or(0);
  pattern.family = table.string("family").value_or(std::string(id));
  pattern.description = table.string("says").value_or("");
  if (const TomlArray* tags = table.array("tags")) {
    for (const TomlValue& tag : *tags) pattern.tags.push_back(tag.string() != nullptr ? *tag.string() : "");
  }
  auto progression = parse_progression(pattern.chords, std::string(id));
  if (!progression) return toml_error(file, table.place(), std::string(id) + ": " + progression.error().message);
  pattern.progression = *progression;
  pattern.mode = mode_of_numerals(pattern.progression);
  if (const auto mode = table.string("mode")) {
    const auto named = parse_mode(*mode);
    if (!named) return toml_error(file, table.place(), fmt::format("{}: unknown mode \"{}\"", id, *mode));
    pattern.mode = *named;
  }
  if (file.name == "minor") pattern.mode = Mode::minor;
  if (pattern.level < 1 || pattern.level > 8)
    return toml_error(file, table.place(), fmt::format("{}: level must be 1 to 8", id));
  if (pattern.description.empty()) return toml_error(file, table.place(), fmt::format("{}: says is missing", id));
  return pattern;
}

bool contains_word(std::string_view text, std::string_view word) {
  return std::search(text.begin(), text.end(), word.begin(), word.end(), same_letter) != text.end();
}

}  // namespace

Parsed<std::vector<Pattern>> read_patterns(const EmbeddedText& file) { return read_rows<Pattern>(file, read_pattern); }

std::span<const Pattern> library() {
  static const auto patterns = rows_of<Pattern>(library_texts(), read_patterns);
  return patterns;
}

const Pattern* pattern_named(std::string_view id) {
  const auto all = library();
  auto found = std::find_if(all.begin(), all.end(), [&](const Pattern& pattern) { return pattern.id == id; });
  if (found == all.end() && id.size() < 100) {
    const std::string plain = plain_name(id);
    found = std::find_if(all.begin(), all.end(), [&](const Pattern& each) { return plain_name(each.id) == plain; });
  }
  return found == all.end() ? nullptr : &*found;
}

std::vector<const Pattern*> find_patterns(const PatternQuery& query) {
  std::vector<const Pattern*> found;
  for (const Pattern& pattern : library()) {
    if (query.level && pattern.level != *query.level) continue;
    if (query.mode && pattern.mode != *query.mode) continue;
    const bool all_words = std::all_of(query.words.begin(), query.words.end(), [&](const std::string& word) {
      return contains_word(pattern.id, word) || contains_word(pattern.description, word) ||
             std::any_of(pattern.tags.begin(), pattern.tags.end(),
                         [&](const std::string& tag) { return contains_word(tag, word); });
    });
    if (all_words) found.push_back(&pattern);
  }
  return found;
}

}  // namespace romanesca
