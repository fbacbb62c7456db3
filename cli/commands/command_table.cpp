#include "cli/commands/command_table.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

constexpr std::array<Command, 16> command_rows{{
    {"read", "", "shows a song as it was understood, and what was decided",
     "  romanesca read song.txt                           is that the song?\n"
     "  romanesca read mail.txt --out song.txt            keep it in a form that is easy to correct\n"
     "  romanesca read lied.txt --names german            H is B, and B is B flat\n",
     set_up_read},
    {"chart", "", "a chord chart: numerals, inversions, both hands, fingers",
     "  romanesca chart \"I vi IV V\" --key Eb             four chords, ready for the lesson\n"
     "  romanesca chart song.txt --level 3 --out song.pdf the student's song on paper, with keyboards\n"
     "  romanesca chart doo-wop --key G --out doo-wop.png a picture to send home\n"
     "  romanesca chart song.txt --voicing four-part      for four voices, by the rules\n",
     set_up_chart},
    {"analyse", "analyze", "checks a progression: key, numerals, patterns, slips",
     "  romanesca analyse song.txt                        is my song right?\n"
     "  romanesca analyse \"| Am | F | C | G |\"            which key is that, and what are the numerals?\n"
     "  romanesca analyse - < message.txt                 chords that came in a message\n"
     "  romanesca analyse \"C Am F G\" --next              what could come now?\n",
     set_up_analyse},
    {"transpose", "", "the same chart in another key, spelled right",
     "  romanesca transpose song.txt --key F              down for a low voice\n"
     "  romanesca transpose \"C Am F G\" --key \"A flat\"     by ear first, then compare\n"
     "  romanesca transpose song.txt --key Bb --out song-Bb.txt\n"
     "  romanesca transpose song.txt --simplify 2          chords and a key for a beginner, and what changed\n",
     set_up_transpose},
    {"harmonise", "harmonize", "chords for a tune: three choices at the student's level, with reasons",
     "  romanesca harmonise song.txt --level 2            three choices under the tune's bars\n"
     "  romanesca harmonise song.txt --with \"C Am F G\"    the student's own four chords, where they fit\n"
     "  romanesca harmonise song.txt --choice B --out with-chords.txt  keep the second one\n",
     set_up_harmonise},
    {"transcribe", "", "a recording of a piano or a song to a chord chart, as a draft to correct",
     "  romanesca transcribe take.wav --out draft.txt     what was played, in bars and chords\n"
     "  romanesca transcribe song.mp3 --tempo 80 --meter 3/4 --first 1.2  better: tapped along and told\n"
     "  romanesca transcribe take.wav --double --shift 1  bars half as long, lines a beat later\n"
     "  romanesca transcribe hum.m4a --tune --out tune.txt  one voice: its tune, for harmonise and chart\n"
     "  romanesca transcribe take.wav --against song.txt  how much of that chart was heard right\n"
     "  # A draft to check by ear, bars with ? first. Of a band expect about three bars in four to be right; real "
     "songs\n"
     "  # and telephones were not measured yet.\n"
     "  # Nothing is kept or sent. Recordings of other people's music are their works: the law says what you may do.\n",
     set_up_transcribe},
    {"render", "", "a backing track to an audio file or a MIDI file",
     "  romanesca render \"I vi IV V\" --key Eb --out loop.wav          a loop to improvise over, without the piano\n"
     "  romanesca render song.txt --tempo 60 --count-in 1 --out slow.mp3  slower, with a bar of clicks\n"
     "  romanesca render song.txt --tempos 60,80,100 --out song.mp3     a practice set\n"
     "  romanesca render song.txt --intro 2 --ending slow --with keys --out song.wav  the whole piece with a piano\n"
     "  romanesca render \"I V vi IV\" --repeat 12 --step-up --out keys.wav  once in every key\n"
     "  romanesca render doo-wop --style jazz-swing --trade 4 --out trade.wav  four bars of band, four for an answer\n",
     set_up_render},
    {"play", "", "live play-along, through the speakers or on a MIDI instrument",
     "  romanesca play \"I vi IV V\" --key Eb                the band now; keys on the screen change it\n"
     "  romanesca play song.txt --port piano --tempo 60     slowly, on the digital piano's own sounds\n"
     "  romanesca play song.txt --section Chorus            the chorus, round and round\n"
     "  romanesca play song.txt --listen piano              and say how the chords went\n"
     "  romanesca play \"I IV V I\" --listen piano --wait    the band waits for each chord\n"
     "  romanesca play song.txt --listen microphone         the same with a piano that has no cable\n"
     "  romanesca play doo-wop --call 2 --level 2           two bars of call, two for the answer\n"
     "  romanesca play --learn start-stop --controls pedal  a foot switch to start and stop\n",
     set_up_play},
    {"exercise", "", "three exercises to choose from: improvise, compose, technique, ear",
     "  romanesca exercise --key Eb --level 3 --kind improvise    three to choose from\n"
     "  romanesca exercise song.txt --level 2 --kind song         with the song that the student brought\n"
     "  romanesca exercise --id few-notes --key G --out sheet.pdf  one of them on paper\n"
     "  romanesca exercise --id major-or-minor --out ear.wav      to listen to; --answers shows what it was\n"
     "  romanesca exercise --id major-or-minor --check \"major minor major minor\"\n",
     set_up_exercise},
    {"progressions", "", "lists, searches and shows the library of patterns",
     "  romanesca progressions --level 2 --mode minor     something new for Tuesday\n"
     "  romanesca progressions blues                      all that have to do with the blues\n"
     "  romanesca progressions --show doo-wop             one pattern, and what to try with it\n",
     set_up_progressions},
    {"styles", "", "lists the accompaniment styles with meter and feel",
     "  romanesca styles                                  what can the band play?\n"
     "  romanesca styles --meter 3/4                      for a song in three\n",
     set_up_styles},
    {"handout", "", "a practice packet to take home: page, chart, audio; or the lesson page",
     "  romanesca handout song.txt --student Mira --greeting \"Slowly, please\" --out mira.html\n"
     "  romanesca handout --student Mira --missed --out mira.html   what she chose, and what was missed\n"
     "  romanesca handout \"I vi IV V\" --key Eb --pdf packet.pdf    the same on paper\n"
     "  romanesca handout --lesson --out lesson.html                for the tablet on the piano\n"
     "  romanesca handout --roster class.csv --jobs 2 --out packets one for each student\n",
     set_up_handout},
    {"student", "", "the studio record: who learns what, and what comes next",
     "  romanesca student add Mira --level 3 --keys \"C, G, F\" --likes \"pop, waltz\"\n"
     "  romanesca student note Mira \"left hand alone was good\"   after the lesson\n"
     "  romanesca student next Mira                       three things to choose from\n"
     "  romanesca student next Mira --accept B            the student chose B: written down\n",
     set_up_student},
    {"microphone", "", "tries the microphone in a new room: level, noise, the tuning of the piano",
     "  romanesca microphone                              three seconds of silence, then some chords\n"
     "  romanesca microphone --device webcam              another one; romanesca ports lists them\n"
     "  # Nothing of the sound is kept or sent. Measured on a recorded piano through simulated telephones, not on "
     "real\n"
     "  # ones: trust your own ears first.\n",
     set_up_microphone},
    {"ports", "", "lists MIDI ports, speakers and microphones",
     "  romanesca ports                                   what is connected?\n"
     "  romanesca ports --json                            the same for another program\n",
     set_up_ports},
    {"settings", "", "what holds for every command: the names of notes",
     "  romanesca settings                                what is set?\n"
     "  romanesca settings --names german                 H is B, B is B flat, in texts and on paper\n",
     set_up_settings},
}};

}  // namespace

std::span<const Command> commands() { return command_rows; }

const Command* command_named(std::string_view name) {
  const auto found = std::find_if(command_rows.begin(), command_rows.end(), [&](const Command& command) {
    return command.name == name || (!command.also.empty() && command.also == name);
  });
  return found == command_rows.end() ? nullptr : &*found;
}

OptionParser parser_of(const Command& command) {
  return {"romanesca " + std::string(command.name), std::string(command.summary), std::string(command.examples)};
}

void add_common_options(OptionParser& parser, Console& console) {
  parser.add_flag_everywhere("--ascii", console.ascii, "flats and sharps as b and # on the terminal too");
}

std::vector<CommandDescription> describe_commands(Console& console) {
  std::vector<CommandDescription> all;
  for (const Command& command : commands()) {
    OptionParser parser = parser_of(command);
    // Keeps the variables that the options write to.
    // cppcheck-suppress unreadVariable
    const std::function<void()> runs = command.set_up(parser, console);
    add_common_options(parser, console);
    all.push_back(parser.description(std::string(command.name)));
    all.back().also = command.also;
  }
  return all;
}

}  // namespace romanesca
