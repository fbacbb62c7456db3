#include "cli/studio/tune_file.h"

#include <gtest/gtest.h>

#include "cli/studio/musicxml_reader.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

std::string text_of(const std::vector<std::uint8_t>& bytes) { return {bytes.begin(), bytes.end()}; }

/// A band with a tune above it, invented here.
MidiSong band_with_tune() {
  MidiSong midi;
  midi.title = "Paper Kite";
  midi.meter_upper = 3;
  midi.key_sharps = 1;
  Performance& played = midi.performance;
  played.tempo = TempoMap(96);
  played.parts = {{"piano", InstrumentId::piano, 0, false}, {"melody", InstrumentId::piano, 0, false}};
  int bar = 0;
  for (const int root : {43, 50, 43}) {
    played.events.push_back({Beats(3 * (bar + 1)), Beats(3), static_cast<std::uint8_t>(root), 70, 0});
    played.events.push_back({Beats(3 * (bar + 1)), Beats(3), 95, 70, 0});  // higher than the tune
    ++bar;
  }
  const std::vector<std::pair<Beats, int>> line{{Beats(2), 62}, {Beats(3), 67},     {Beats(5), 71},
                                                {Beats(6), 69}, {Beats(15, 2), 66}, {Beats(9), 67}};
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Beats end = i + 1 < line.size() ? line[i + 1].first : Beats(12);
    played.events.push_back({line[i].first, end - line[i].first, static_cast<std::uint8_t>(line[i].second), 80, 1});
  }
  played.length = Beats(12);
  midi.markers = {{Beats(3), "G"}, {Beats(6), "D7"}, {Beats(9), "G"}};
  return midi;
}

TEST(TuneFile, AMidiFileIsReadAsATune) {
  const std::string bytes = text_of(write_midi(band_with_tune()));
  ASSERT_TRUE(is_tune_file(bytes));
  const auto song = read_tune_file(bytes, "kite.mid");
  ASSERT_TRUE(song);
  EXPECT_EQ(write_progression(song->progression),
            "title: Paper Kite\nkey: G major\ntempo: 96\nmeter: 3/4\n\n| G | D7 | G |\n"
            "tune: D2 | G4 B2 | A3 F3 | G6 |\n");
}

void put_little_endian(std::string& bytes, std::uint32_t value, int count) {
  for (int i = 0; i < count; ++i) bytes += static_cast<char>(value >> (8 * i) & 0xFF);
}

/// ISO 3309, as ZIP has it: reflected polynomial EDB88320.
std::uint32_t crc32_of(std::string_view bytes) {
  std::uint32_t crc = 0xFFFFFFFF;
  for (const char c : bytes) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ ((crc & 1) != 0 ? 0xEDB88320 : 0);
  }
  return ~crc;
}

/// A ZIP archive of files that are stored as they are (PKWARE APPNOTE 6.3.10, sections 4.3.7, 4.3.12 and 4.3.16).
std::string archive(const std::vector<std::pair<std::string, std::string>>& files) {
  std::string bytes, directory;
  for (const auto& [name, text] : files) {
    const auto length = static_cast<std::uint32_t>(text.size());
    std::string facts;  // version, flags, method, time, date, checksum, lengths, length of the name and of extras
    for (const std::uint32_t value : {10U, 0U, 0U, 0U, 33U}) put_little_endian(facts, value, 2);
    for (const std::uint32_t value : {crc32_of(text), length, length}) put_little_endian(facts, value, 4);
    put_little_endian(facts, static_cast<std::uint32_t>(name.size()), 2);
    put_little_endian(facts, 0, 2);
    directory += std::string("PK\x01\x02\x0A\0", 6) + facts + std::string(10, '\0');
    put_little_endian(directory, static_cast<std::uint32_t>(bytes.size()), 4);
    directory += name;
    bytes += "PK\x03\x04" + facts + name + text;
  }
  const auto at = static_cast<std::uint32_t>(bytes.size());
  bytes += directory + std::string("PK\x05\x06\0\0\0\0", 8);
  for (int i = 0; i < 2; ++i) put_little_endian(bytes, static_cast<std::uint32_t>(files.size()), 2);
  put_little_endian(bytes, static_cast<std::uint32_t>(directory.size()), 4);
  put_little_endian(bytes, at, 4);
  return bytes + std::string(2, '\0');
}

// Elements and values of MusicXML 4.0 (W3C community group), by their names in the standard.
std::string score(const std::string& measures) {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\"><work><work-title>Paper Kite"
         "</work-title></work><part-list><score-part id=\"P1\"><part-name>Voice</part-name></score-part></part-list>"
         "<part id=\"P1\">" +
         measures + "</part></score-partwise>";
}

std::string note(const std::string& step, int octave, int duration, const std::string& more = {}, int alter = 0) {
  return "<note><pitch><step>" + step + "</step>" +
         (alter != 0 ? "<alter>" + std::to_string(alter) + "</alter>" : std::string()) + "<octave>" +
         std::to_string(octave) + "</octave></pitch><duration>" + std::to_string(duration) +
         "</duration><voice>1</voice>" + more + "</note>";
}

std::string lyric(const std::string& syllabic, const std::string& text, bool extend = false) {
  return "<lyric number=\"1\"><syllabic>" + syllabic + "</syllabic><text>" + text + "</text>" +
         (extend ? "<extend/>" : "") + "</lyric>";
}

TEST(TuneFile, MusicXmlHasMelodyChordsAndWords) {
  const std::string text = score(
      "<measure number=\"0\" "
      "implicit=\"yes\"><attributes><divisions>2</divisions><key><fifths>1</fifths><mode>major</mode>"
      "</key><time><beats>3</beats><beat-type>4</beat-type></time></attributes><direction><sound "
      "tempo=\"90\"/></direction>" +
      note("D", 4, 2, lyric("single", "The")) +
      "</measure><measure number=\"1\"><barline location=\"left\"><repeat direction=\"forward\"/></barline>"
      "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>" +
      note("G", 4, 4, lyric("begin", "pa")) + note("B", 4, 2, lyric("end", "per")) +
      "<backup><duration>6</duration></backup><note><rest/><duration>6</duration><voice>2</voice></note></measure>"
      "<measure "
      "number=\"2\"><harmony><root><root-step>D</root-step></root><kind>dominant</kind><bass><bass-step>F</bass-step>"
      "<bass-alter>1</bass-alter></bass></harmony>" +
      note("A", 4, 3, lyric("single", "kite", true)) + note("F", 4, 1, "<tie type=\"start\"/>", 1) +
      note("F", 4, 2, "<tie type=\"stop\"/>", 1) +
      "</measure><measure number=\"3\">"
      "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>" +
      note("G", 4, 4, lyric("single", "flew")) +
      "<note><chord/><pitch><step>D</step><octave>4</octave></pitch><duration>4</duration><voice>1</voice></note>"
      "<barline location=\"right\"><bar-style>light-heavy</bar-style><repeat "
      "direction=\"backward\"/></barline></measure>");
  const auto song = read_tune_file(text, "kite.musicxml");
  ASSERT_TRUE(song) << song.error().what();
  EXPECT_EQ(write_progression(song->progression),
            "title: Paper Kite\nkey: G major\ntempo: 90\nmeter: 3/4\n\n|: G | D7/F# | G :|\n"
            "tune: D2 | G4 B2 | A3 F3 | G4 z2 |\nwords: The pa-per kite_ flew\n");
  // The upbeat sounds again before the repeat.
  const Tune tune = tune_of(song->progression, {});
  ASSERT_EQ(tune.notes.size(), 12);
  EXPECT_EQ(tune.notes[6].start, Beats(8));
  EXPECT_EQ(tune.notes[6].syllable, "The");
}

TEST(TuneFile, MusicXmlHasVerses) {
  // Lines of words have numbers (MusicXML 4.0, element lyric); some programs give them names.
  const auto line = [](const char* number, const char* text, const char* syllabic = "single") {
    return std::string("<lyric number=\"") + number + "\"><syllabic>" + syllabic + "</syllabic><text>" + text +
           "</text></lyric>";
  };
  const auto read = [&](const char* first, const char* second) {
    const std::string text =
        score("<measure number=\"1\">" + note("G", 4, 6, line(first, "1. Sun") + line(second, "rain", "begin")) +
              note("A", 4, 6, line(second, "y", "end")) + "</measure>");
    const auto song = read_tune_file(text, "kite.musicxml");
    const std::string written = song ? write_progression(song->progression) : std::string(song.error().what());
    return written.substr(std::min(written.find("words:"), written.size()));
  };
  EXPECT_EQ(read("1", "2"), "words: Sun *\nwords: rain-y\n");
  EXPECT_EQ(read("part1verse1", "part1verse2"), "words: Sun *\nwords: rain-y\n");
  EXPECT_EQ(read("2", "3"), "words:\nwords: 1.~Sun *\nwords: rain-y\n");
}

TEST(TuneFile, CompressedMusicXml) {
  const std::string kite = score("<measure number=\"1\">" + note("G", 4, 12) + "</measure>");
  const std::string other = score("<measure number=\"1\">" + note("A", 4, 12) + "</measure>");
  const std::string container =
      "<?xml version=\"1.0\"?><container><rootfiles><rootfile full-path=\"music/kite.musicxml\"/>"
      "<rootfile full-path=\"other.pdf\"/></rootfiles></container>";
  const auto first_note = [](const std::string& bytes) {
    const auto song = read_tune_file(bytes, "kite.mxl");
    return song ? to_string(tune_of(song->progression, {}).notes.front().pitch) : std::string(song.error().what());
  };
  // What the container names; without one, the first score.
  EXPECT_EQ(first_note(archive({{"mimetype", "application/vnd.recordare.musicxml"},
                                {"other.xml", other},
                                {"META-INF/container.xml", container},
                                {"music/kite.musicxml", kite}})),
            "G4");
  EXPECT_EQ(first_note(archive({{"__MACOSX/kite.xml", "x"}, {"Kite.XML", kite}, {"other.xml", other}})), "G4");
}

TEST(TuneFile, WhatIsLeftOutOfAScoreIsTold) {
  std::string text =
      score("<measure number=\"1\">" + note("G", 4, 12) +
            "<note><pitch><step>C</step><octave>3</octave></pitch><duration>12</duration><voice>2</voice></note>" +
            "</measure>");
  text.insert(text.rfind("</score-partwise>"), "<part id=\"P2\"><measure number=\"1\"/></part>");
  const auto song = read_tune_file(text, "kite.musicxml");
  ASSERT_TRUE(song);
  ASSERT_EQ(song->left_out.size(), 2U);
  EXPECT_EQ(song->left_out[0].text, "other voices of the first part");
  EXPECT_EQ(song->left_out[1].text, "the other part of the score");
}

TEST(TuneFile, FaultsSayWhatToDo) {
  const auto fault = [](const std::string& bytes) {
    const auto song = read_tune_file(bytes, "x");
    return song ? std::string("none") : song.error().error().message + "; " + song.error().error().hint;
  };
  const std::string again =
      "; export it once more from the notation program, or save it as uncompressed MusicXML (.musicxml)";
  EXPECT_EQ(fault("PK\x03\x04 and more"), "x is a damaged archive" + again);
  EXPECT_EQ(fault(archive({{"readme.txt", "hello"}})), "x is an archive without a MusicXML score" + again);
  EXPECT_EQ(fault(archive({{"score.xml", "hello"}})),
            "x is an archive without a MusicXML score; export it as MusicXML from the notation program");
  EXPECT_EQ(fault(archive({{"word/document.xml", "C Am F G"}})),
            "x is a document of an office program; save it there as plain text (.txt)");
  std::string damaged = archive({{"score.xml", score("<measure/>")}});
  damaged[60] ^= 1;
  EXPECT_EQ(fault(damaged), "x is a damaged archive, or its score is longer than 64 MiB" + again);
  EXPECT_EQ(fault("<?xml version=\"1.0\"?><opus/>"),
            "this is no MusicXML score with parts one after the other (score-partwise); "
            "export it as MusicXML from the notation program");
  EXPECT_EQ(fault("<?xml version=\"1.0\"?><score-partwise"), "this is no whole XML; export the MusicXML file again");
  EXPECT_EQ(fault(score("<measure/>")), "no notes in the score; write the melody into its first part");
  EXPECT_EQ(
      fault(score("<measure><attributes><time><beats>7</beats><beat-type>8</beat-type></time></attributes></measure>")),
      "a song here cannot be in the meter 7/8; meters are 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 and 12/8");
  EXPECT_EQ(
      fault(score("<measure><attributes><divisions>11</divisions></attributes></measure>")),
      "the notes of the score have lengths that are not written in music; export it again from the notation program");
  EXPECT_FALSE(is_tune_file("| C | G |"));
}

}  // namespace
}  // namespace romanesca
