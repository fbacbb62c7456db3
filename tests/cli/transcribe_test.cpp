// The command transcribe, on files that the program itself rendered and on damaged ones.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/studio/chart_match.h"
#include "cli/studio/external_decoder.h"
#include "cli/studio/heard_chords.h"
#include "tests/cli/in_process.h"
#include "tests/sweep.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

/// Invented for these tests.
const char* const pond_song =
    "title: Duck Pond\nkey: G major\nmeter: 4/4\ntempo: 84\n\n"
    "| G | Em | C | D |\n| G | Em | Am | D7 |\n| C | D | G | Em |\n| Am | D7 | G | G |\n";

fs::path folder() {
  const fs::path path = fs::path(testing::TempDir()) / "romanesca-transcribe";
  fs::create_directories(path);
  return path;
}

std::string song_file() {
  const fs::path path = folder() / "pond.txt";
  std::ofstream(path) << pond_song;
  return path;
}

/// The song on the piano of the band, made once for each ending.
std::string take(const std::string& ending) {
  const fs::path path = folder() / ("pond." + ending);
  if (fs::exists(path)) return path;
  const auto made = test::run_in_process({"render", song_file(), "--only", "keys", "--style", "ballad", "--out", path});
  EXPECT_EQ(made.status, 0) << made.err;
  return path;
}

TEST(Transcribe, WritesTheSongAgain) {
  const auto result = test::run_in_process({"transcribe", take("wav"), "--title", "Duck Pond"});
  ASSERT_EQ(result.status, 0) << result.err;
  EXPECT_NE(result.out.find("title: Duck Pond"), std::string::npos);
  EXPECT_NE(result.out.find("key: G major"), std::string::npos) << result.out;
  EXPECT_NE(result.err.find("a draft"), std::string::npos) << result.err;
  // The text is one that the other commands read.
  const auto read = test::run_in_process({"analyse", "-", "--json"}, result.out);
  EXPECT_EQ(read.status, 0) << read.err;
  EXPECT_TRUE(test::run_in_process({"transcribe", take("wav"), "--quiet"}).err.empty());
}

TEST(Transcribe, EveryFormatGivesTheChart) {
  for (const char* ending : test::tried<const char*>({"wav", "flac", "ogg", "mp3"})) {
    const auto result = test::run_in_process({"transcribe", take(ending), "--against", song_file()});
    ASSERT_EQ(result.status, 0) << result.err;
    const int right = std::stoi(result.out.substr(result.out.find("bars right") + 10));
    EXPECT_GE(right, 12) << ending << "\n" << result.out;  // three bars in four: a style's keys alone avoid the beats
  }
}

/// The song played by a whole band, made once.
std::string band_take() {
  const fs::path path = folder() / "pond-band.mp3";
  if (fs::exists(path)) return path;
  const auto made = test::run_in_process(
      {"render", song_file(), "--with", "keys", "--style", "rock", "--tempo", "96", "--out", path});
  EXPECT_EQ(made.status, 0) << made.err;
  return path;
}

/// A sample of what tests/measure/transcribe_figures measures.
TEST(Transcribe, ABandGivesADraft) {
  const auto result = test::run_in_process({"transcribe", band_take(), "--against", song_file()});
  ASSERT_EQ(result.status, 0) << result.err;
  const int right = std::stoi(result.out.substr(result.out.find("bars right") + 10));
  EXPECT_GE(right, 12) << result.out;
}

TEST(Transcribe, OneVoiceBecomesATune) {
  const fs::path song = folder() / "steps.txt";
  std::ofstream(song) << "title: Steps\nkey: F major\nmeter: 3/4\ntempo: 108\n\n| F | C | Dm | C | F | Bb | C | F |\n"
                         "tune: F2 G2 A2 | G4 E2 | F2 E2 D2 | E6 | A2 A2 c2 | d4 B2 | c2 A2 G2 | F6 |\n";
  const fs::path take = folder() / "steps.wav";
  const auto made =
      test::run_in_process({"render", song, "--tune", "vibraphone", "--only", "tune", "--ring-out", "--out", take});
  ASSERT_EQ(made.status, 0) << made.err;
  const auto result = test::run_in_process({"transcribe", take, "--tune", "--meter", "3/4", "--title", "Steps"});
  ASSERT_EQ(result.status, 0) << result.err;
  EXPECT_NE(result.out.find("key: F major"), std::string::npos) << result.out;
  EXPECT_NE(result.out.find("F2 G2 A2 | G4 E2 | F2 E2 D2 | E6"), std::string::npos) << result.out;
  EXPECT_NE(result.err.find("notes in 3/4"), std::string::npos) << result.err;
  // The tune's road goes on from there.
  const auto chords = test::run_in_process({"harmonise", "-", "--level", "2"}, result.out);
  EXPECT_EQ(chords.status, 0) << chords.err;
  const Json answer = Json::parse(test::run_in_process({"transcribe", take, "--tune", "--quiet", "--json"}).out);
  EXPECT_EQ(answer["notes"].size(), 18U);
  EXPECT_EQ(answer["notes"][0]["midi"], 65);
  EXPECT_EQ(answer["key"]["tonic"], "F");
  EXPECT_EQ(test::run_in_process({"transcribe", take, "--tune", "--against", song}).status, 2);
  // Where a song is wanted, a recording is told apart from a text.
  const auto chart = test::run_in_process({"harmonise", take});
  EXPECT_EQ(chart.status, 2);
  EXPECT_NE(chart.err.find("is a recording"), std::string::npos) << chart.err;
}

TEST(Transcribe, JsonTellsTimesAndHowSureItIs) {
  const auto result = test::run_in_process({"transcribe", take("wav"), "--meter", "4/4", "--tempo", "84", "--json"});
  ASSERT_EQ(result.status, 0) << result.err;
  const Json answer = Json::parse(result.out);
  EXPECT_EQ(answer["schema"], 1);
  EXPECT_EQ(answer["key"]["tonic"], "G");
  EXPECT_EQ(answer["meter"], "4/4");
  EXPECT_NEAR(answer["tempo"].get<double>(), 84, 2);
  ASSERT_FALSE(answer["bars"].empty());
  double before = -1;
  for (const Json& bar : answer["bars"]) {
    EXPECT_GT(bar["end"].get<double>(), bar["start"].get<double>());
    EXPECT_GE(bar["start"].get<double>(), before);
    before = bar["start"].get<double>();
    EXPECT_GE(bar["confidence"].get<double>(), 0);
    EXPECT_LE(bar["confidence"].get<double>(), 1);
    EXPECT_EQ(bar["doubtful"].get<bool>(), bar["confidence"].get<double>() < doubtful_below);
  }
  for (const Json& chord : answer["chords"]) {
    EXPECT_TRUE(chord.contains("symbol"));
    EXPECT_LT(chord["start"].get<double>(), chord["end"].get<double>());
    EXPECT_LE(chord["confidence"].get<double>(), 1);
  }
  EXPECT_GT(answer["beats"].size(), 60U);
}

TEST(Transcribe, BarsAreHalvedDoubledAndShifted) {
  const auto bars = [](const std::vector<std::string>& more) {
    std::vector<std::string> words{"transcribe", band_take(), "--json", "--quiet"};
    words.insert(words.end(), more.begin(), more.end());
    const auto result = test::run_in_process(words);
    EXPECT_EQ(result.status, 0) << result.err;
    return Json::parse(result.out);
  };
  const Json plain = bars({});
  const Json twice = bars({"--double"});
  const Json half = bars({"--half"});
  EXPECT_NEAR(twice["tempo"].get<double>() / plain["tempo"].get<double>(), 2, 0.1);
  EXPECT_NEAR(half["tempo"].get<double>() / plain["tempo"].get<double>(), 0.5, 0.05);
  const Json shifted = bars({"--shift", "1"});
  const double beat_s = 60 / plain["tempo"].get<double>();
  EXPECT_NEAR(shifted["bars"][1]["start"].get<double>() - plain["bars"][0]["start"].get<double>(), beat_s, 0.2);
  EXPECT_EQ(bars({"--shift", "4"})["text"], plain["text"]) << "a whole bar changes nothing";
}

TEST(Transcribe, TheFirstBarBeginsWhereItIsSaid) {
  const auto result = test::run_in_process({"transcribe", take("wav"), "--first", "5.71", "--json"});
  ASSERT_EQ(result.status, 0) << result.err;
  EXPECT_NEAR(Json::parse(result.out)["bars"][0]["start"].get<double>(), 5.71, 0.01);
}

TEST(Transcribe, WritesFiles) {
  const fs::path text = folder() / "draft.txt";
  const fs::path json = folder() / "draft.json";
  ASSERT_EQ(test::run_in_process({"transcribe", take("wav"), "--out", text}).status, 0);
  ASSERT_EQ(test::run_in_process({"transcribe", take("wav"), "--out", json}).status, 0);
  EXPECT_GT(fs::file_size(text), 100U);
  EXPECT_EQ(Json::parse(std::ifstream(json))["schema"], 1);
  EXPECT_EQ(test::run_in_process({"transcribe", take("wav"), "--out", folder() / "draft.pdf"}).status, 2);
}

std::string file_with(const std::string& name, const std::string& bytes) {
  const fs::path path = folder() / name;
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

void expect_refused(const std::vector<std::string>& words, int status, const std::string& part) {
  const auto result = test::run_in_process(words);
  EXPECT_EQ(result.status, status) << result.err;
  EXPECT_NE(result.err.find(part), std::string::npos) << result.err;
  EXPECT_TRUE(result.out.empty());
  EXPECT_NE(result.err.find('\n'), result.err.size() - 1) << "no hint: " << result.err;
}

TEST(Transcribe, RefusesWhatIsNoRecording) {
  expect_refused({"transcribe", folder() / "missing.wav"}, 3, "there is no such file");
  expect_refused({"transcribe", folder()}, 3, "is a folder");
  expect_refused({"transcribe", "/dev/null"}, 3, "no ordinary file");
  expect_refused({"transcribe", file_with("words.wav", "These are words.")}, 2, "no recording");
  expect_refused({"transcribe", file_with("empty.mp3", "")}, 2, "no recording");
  expect_refused({"transcribe", song_file()}, 2, "no recording");
}

/// A WAV file of 16 bits and one channel.
std::string wav_bytes(int rate_hz, const std::vector<float>& samples, std::uint32_t stated_bytes = 0) {
  std::string bytes;
  const auto number = [&](std::uint32_t value, int size) {
    for (int i = 0; i < size; ++i) bytes += static_cast<char>(value >> (8U * static_cast<unsigned>(i)));
  };
  const auto data = static_cast<std::uint32_t>(2 * samples.size());
  bytes += "RIFF";
  number(36 + data, 4);
  bytes += "WAVEfmt ";
  number(16, 4);
  number(1, 2);
  number(1, 2);
  number(static_cast<std::uint32_t>(rate_hz), 4);
  number(static_cast<std::uint32_t>(2 * rate_hz), 4);
  number(2, 2);
  number(16, 2);
  bytes += "data";
  number(stated_bytes != 0 ? stated_bytes : data, 4);
  for (const float sample : samples) number(static_cast<std::uint16_t>(std::lround(sample * 32767)), 2);
  return bytes;
}

TEST(Transcribe, SaysWhyThereIsNoChart) {
  expect_refused({"transcribe", file_with("silence.wav", wav_bytes(8000, std::vector<float>(80000)))}, 2, "silent");
  expect_refused({"transcribe", file_with("short.wav", wav_bytes(8000, std::vector<float>(8000, 0.1f)))}, 2,
                 "too short");
  std::vector<float> hum(160000);
  for (std::size_t i = 0; i < hum.size(); ++i)
    hum[i] = static_cast<float>(0.3 * std::sin(2 * M_PI * 100 * static_cast<double>(i) / 16000));
  const auto result = test::run_in_process({"transcribe", file_with("hum.wav", wav_bytes(16000, hum))});
  EXPECT_EQ(result.status, 2);
  EXPECT_TRUE(result.out.empty());
  expect_refused({"transcribe", file_with("slow.wav", wav_bytes(4000, hum))}, 2, "sample rate of 4000");
  expect_refused({"transcribe", file_with("long.wav", wav_bytes(8000, std::vector<float>(8000 * 902)))}, 2,
                 "longer than 15 minutes");
}

TEST(Transcribe, ReadsWhatIsThereOfADamagedFile) {
  std::ifstream whole(take("wav"), std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(whole)), std::istreambuf_iterator<char>());
  for (const std::size_t kept : {std::size_t{10}, std::size_t{44}, std::size_t{1000}, bytes.size() / 2}) {
    const auto result = test::run_in_process({"transcribe", file_with("cut.wav", bytes.substr(0, kept))});
    EXPECT_TRUE(result.status == 0 || result.status == 2) << kept << ": " << result.err;
    if (result.status != 0) {
      EXPECT_TRUE(result.out.empty());
    }
  }
}

TEST(Transcribe, ChecksItsOptions) {
  const std::string file = take("wav");
  expect_refused({"transcribe", file, "--tempo", "5"}, 2, "--tempo");
  expect_refused({"transcribe", file, "--tempo", "nan"}, 2, "--tempo");
  expect_refused({"transcribe", file, "--meter", "7/8"}, 2, "--meter");
  expect_refused({"transcribe", file, "--first", "-1"}, 2, "--first");
  expect_refused({"transcribe", file, "--half", "--double"}, 2, "exclude");
  expect_refused({"transcribe", file, "--double", "--tempo", "80"}, 2, "tempo");
  expect_refused({"transcribe", file, "--shift", "0"}, 2, "--shift");
  expect_refused({"transcribe", file, "--key", "H#"}, 2, "--key");
  expect_refused({"transcribe", file, "--against", "| Jm7 |"}, 2, "Jm7");
  expect_refused({"transcribe", file, "--against", "C G", "--json"}, 2, "in words alone");
}

/// A program that stands in for ffmpeg: notes its arguments, and writes half a second of floats.
TEST(ExternalDecoder, IsCalledWithoutAShellAndKeptToFiles) {
  const fs::path program = folder() / "ffmpeg";
  const fs::path notes = folder() / "arguments";
  std::ofstream(program) << "#!/bin/sh\nprintf '%s\\n' \"$@\" > '" << notes.string()
                         << "'\nhead -c 44102 /dev/zero\n[ -e '" << (folder() / "fails").string()
                         << "' ] && exit 1\nexit 0\n";
  chmod(program.c_str(), 0755);
  std::size_t samples = 0;
  const auto use = [&](std::span<const float> block) {
    samples += block.size();
    return true;
  };
  const fs::path odd = folder() / "-i a; $(b).m4a";
  ASSERT_TRUE(decode_externally(program, odd, "mov", 22050, use));
  EXPECT_EQ(samples, 44102U / 4);
  std::ifstream file(notes);
  std::vector<std::string> arguments;
  for (std::string line; std::getline(file, line);) arguments.push_back(line);
  EXPECT_NE(std::find(arguments.begin(), arguments.end(), "file:" + odd.string()), arguments.end());
  EXPECT_NE(std::find(arguments.begin(), arguments.end(), "file,pipe"), arguments.end());
  std::ofstream(folder() / "fails") << "";
  const Status failed = decode_externally(program, odd, "mov", 22050, use);
  fs::remove(folder() / "fails");
  ASSERT_FALSE(failed);
  EXPECT_EQ(failed.error().status(), ExitStatus::file_refused);
  EXPECT_TRUE(decode_externally(program, odd, "mov", 22050, [](std::span<const float>) { return false; }));
  EXPECT_FALSE(decode_externally(folder() / "nothing-there", odd, "mov", 22050, use));
}

TEST(ExternalDecoder, KnowsFormsThatNameNoOtherFiles) {
  EXPECT_EQ(external_format("m4a"), "mov");
  EXPECT_FALSE(external_format("m3u8"));
  EXPECT_FALSE(external_format("txt"));
  EXPECT_FALSE(external_format(""));
}

TEST(HeardChords, AreTheNearestClasses) {
  const auto heard = [](const char* symbol) { return heard_class_of(parse_chord(symbol).value()); };
  EXPECT_EQ(heard("C"), chord_class(0, ChordQuality::major));
  EXPECT_EQ(heard("Am"), chord_class(9, ChordQuality::minor));
  EXPECT_EQ(heard("G9"), chord_class(7, ChordQuality::dominant_seventh));
  EXPECT_EQ(heard("F6"), chord_class(5, ChordQuality::major));
  EXPECT_EQ(heard("Bbmaj7"), chord_class(10, ChordQuality::major_seventh));
  EXPECT_EQ(heard("Em7"), chord_class(4, ChordQuality::minor_seventh));
  EXPECT_EQ(heard("F#m7b5"), chord_class(6, ChordQuality::diminished));
  EXPECT_EQ(heard("Dsus4"), chord_class(2, ChordQuality::suspended_fourth));
  EXPECT_EQ(heard("C5"), std::nullopt);
  EXPECT_EQ(heard("Caug"), std::nullopt);
}

TEST(HeardChords, AreSpelledInTheKey) {
  const Key a_flat = Key{parse_key("Ab major")->tonic, Mode::major};
  EXPECT_EQ(to_string(chord_heard(chord_class(1, ChordQuality::major), 1, a_flat)), "Db");
  EXPECT_EQ(to_string(chord_heard(chord_class(8, ChordQuality::major), 0, a_flat)), "Ab/C");
  EXPECT_EQ(to_string(chord_heard(chord_class(8, ChordQuality::major), 2, a_flat)), "Ab") << "no tone of the chord";
  const Key e_major = Key{parse_key("E major")->tonic, Mode::major};
  EXPECT_EQ(to_string(chord_heard(chord_class(1, ChordQuality::minor_seventh), 1, e_major)), "C#m7");
  for (std::size_t chord = 0; chord < no_chord_class; ++chord)
    EXPECT_EQ(heard_class_of(chord_heard(chord, root_of(chord), e_major)), chord);
}

RecordingChart chart_from(const char* text) {
  RecordingChart chart;
  chart.song = *parse_progression(text, "test");
  chart.analysis = analyse(chart.song);
  chart.doubtful.assign(static_cast<std::size_t>(chart.analysis.timeline.bars), false);
  return chart;
}

TEST(ChartMatch, AlignsBars) {
  const auto match = [](const char* heard, const char* truth) {
    const Progression song = *parse_progression(truth, "test");
    return match_chart(chart_from(heard), song, Key{});
  };
  EXPECT_EQ(match("C Am F G C", "C Am F G C").right, 5);
  EXPECT_EQ(match("Am F G C", "C Am F G C").right, 4) << "begins late";
  EXPECT_EQ(match("C Am Am F G C", "C Am F G C").right, 5) << "a bar too many";
  const ChartMatch sevenths = match("C Am F G7 C", "C Am F G C");
  EXPECT_EQ(sevenths.right, 5);
  EXPECT_EQ(sevenths.right_exactly, 4);
  EXPECT_NEAR(sevenths.exact, 0.8, 1e-9);
  const ChartMatch wrong = match("C Am Fm G C", "C Am F G C");
  EXPECT_EQ(wrong.wrong, std::vector<int>{3});
  EXPECT_NEAR(wrong.root, 1, 1e-9);
  EXPECT_NEAR(match("| C F | G |", "| C | G |").third, 0.75, 1e-9);
}

}  // namespace
}  // namespace romanesca
