#include "tests/fitting/corpus.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr const char* hint = "see tests/fitting/corpus.h";

/// The chart as the program would get it: each bar's chords in equal slots.
std::string chart_text(const nlohmann::json& chart, std::vector<std::size_t>& chord_of_slot) {
  std::string text = "|";
  const auto& chords = chart.at("chords");
  std::size_t k = 0;
  int bar = 0;
  for (const int slots : chart.at("slots")) {
    for (int slot = 0; slot < slots; ++slot) {
      const double time = bar + (slot + 0.5) / slots;
      while (k + 1 < chords.size() && time >= chords[k + 1].at("start").get<double>() - 1e-6) ++k;
      text += " " + chords[k].at("sym").get<std::string>();
      chord_of_slot.push_back(k);
    }
    text += " |";
    ++bar;
  }
  return text;
}

HeardSong read_song(const std::string& id, const nlohmann::json& chart) {
  HeardSong song;
  song.id = id;
  std::vector<std::size_t> chord_of_slot;
  const auto progression = parse_progression(chart_text(chart, chord_of_slot), id);
  if (!progression) throw std::runtime_error(id + ": " + progression.error().message);
  song.timeline = timeline(*progression, {});
  if (song.timeline.chords.size() != chord_of_slot.size()) throw std::runtime_error(id + ": chords and slots differ");
  for (const std::size_t k : chord_of_slot) {
    const auto& chord = chart.at("chords")[k];
    const bool named = !chord.at("rr").is_null();
    song.tonic_of_chord.push_back(named ? parse_pitch_class(chord.at("tonic").get<std::string>())->semitone() : -1);
  }
  song.main_tonic = tonic_held(song, 1, song.timeline.bars + 1).tonic;
  return song;
}

void append_songs(const nlohmann::json& row, std::vector<HeardSong>& songs) {
  const std::string id = row.at("id");
  if (row.contains("chords")) {
    songs.push_back(read_song(id, row));
    return;
  }
  for (const char* listener : {"A", "B"}) songs.push_back(read_song(id, row.at(listener)));
}

}  // namespace

HeldTonic tonic_held(const HeardSong& song, int first, int end) {
  std::array<double, 12> held{};
  for (std::size_t i = 0; i < song.tonic_of_chord.size(); ++i) {
    const TimedChord& timed = song.timeline.chords[i];
    if (song.tonic_of_chord[i] < 0 || timed.bar < first || timed.bar >= end) continue;
    held[static_cast<std::size_t>(song.tonic_of_chord[i])] += timed.length.quarters();
  }
  const auto most = std::max_element(held.begin(), held.end());
  return *most > 0 ? HeldTonic{static_cast<int>(most - held.begin()), *most} : HeldTonic{};
}

std::vector<HeardSong> read_corpus(const std::string& path) {
  std::ifstream file(path);
  if (!file) throw std::runtime_error(path + ": no such file. The corpora are not part of the project; " + hint);
  std::vector<HeardSong> songs;
  int number = 0;
  for (std::string line; std::getline(file, line);) {
    ++number;
    try {
      append_songs(nlohmann::json::parse(line), songs);
    } catch (const std::exception& error) {
      throw std::runtime_error(fmt::format("{}:{}: {} ({})", path, number, error.what(), hint));
    }
  }
  if (songs.empty()) throw std::runtime_error(path + ": no songs in it; " + hint);
  return songs;
}

int run_on_corpora(std::span<char* const> arguments, void (*run)(std::span<char* const> paths)) {
  const std::string name = std::filesystem::path(arguments.front()).filename();
  if (arguments.size() < 2) {
    fmt::print(stderr, "usage: {} CORPUS.jsonl...\nThe corpora are not part of the project; {}\n", name, hint);
    return 2;
  }
  try {
    run(arguments.subspan(1));
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}: {}\n", name, error.what());
    return 3;
  }
  return 0;
}

}  // namespace romanesca
