#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chart_file.h"
#include "cli/formats/chart_text.h"
#include "cli/formats/chords_json.h"
#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "theory/songs/paper_tune.h"
#include "theory/songs/song_tune.h"
#include "theory/tunes/singer_range.h"

namespace romanesca {
namespace {

struct PageOptions {
  std::string paper = "a4", composer, range;
  bool large = false, staves = false, slashes = false, all_keys = false, without_tune = false;

  void add(OptionParser& parser) {
    parser.add_option("--paper", paper, "a4 or letter, for .pdf, .svg and .png").value_name("SIZE");
    parser.add_flag("--large", large, "large print");
    parser.add_flag("--staves", staves,
                    "both hands on two staves, in the chart's rhythm; with a tune, it and the left hand");
    parser.add_flag("--slashes", slashes, "one staff with slashes under the chord symbols");
    parser.add_flag("--without-tune", without_tune, "the chart of a song that has a tune, not its lead sheet");
    parser.add_option("--composer", composer, "whose tune it is, for the lead sheet, in place of the text's")
        .value_name("NAME");
    parser.add_option("--range", range, "put the tune where a singer reaches it, lowest and highest note")
        .value_name("A3-D5");
    parser.add_flag("--all-keys", all_keys, "a booklet in twelve keys, round the circle of fifths");
  }

  [[nodiscard]] PaperSettings settings() const {
    PaperSettings result = paper_named(paper);
    result.large = large;
    if (staves && slashes) {
      throw Failure(ExitStatus::wrong_input, "--staves and --slashes cannot go together", "choose one of them");
    }
    if (staves) result.staves = StaffKind::grand;
    if (slashes) result.staves = StaffKind::slashes;
    return result;
  }
};

/// A piece put into a key, with its hands.
struct Chart {
  Placement placed;
  Hands hands;
};

Chart make_chart(const NamedProgression& source, const std::optional<KeyText>& key, const HandOptions& hand_options,
                 const HandSettings& settings) {
  Chart chart{value_or_throw(place(source, key)), {}};
  hand_options.lead_bass(chart.placed);
  chart.hands = hands_for(chart.placed.analysis.timeline, settings, chart.placed.analysis.keys.by_bar);
  return chart;
}

/// The key in which the tune lies in a singer's range, and the tune there. Throws Failure where it cannot.
struct SungKey {
  KeyText key;
  int lowest_midi = 0;  ///< of the tune there
};
SungKey key_for_range(const Placement& placed, const std::string& range_text) {
  const auto range = parse_singer_range(range_text);
  if (!range) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--range: \"{}\" is no range", range_text),
                  "name the lowest and the highest note, like A3-D5");
  }
  const Tune tune = tune_of(placed.progression, placed.key);
  const auto own = range_of(tune);
  if (!own)
    throw Failure(ExitStatus::wrong_input, "--range: there is no tune in that song", "write one under its bars");
  const auto shift = shift_into(*range, tune);
  if (!shift) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("--range: the tune goes from {} to {}, {} semitones; {} has {}", to_string(own->lowest),
                              to_string(own->highest), own->highest.midi() - own->lowest.midi(), range_text,
                              range->highest.midi() - range->lowest.midi()),
                  "name a wider range");
  }
  const int semitone = ((placed.key.tonic.semitone() + *shift) % 12 + 12) % 12;
  Key key = placed.key;
  if (*shift % 12 != 0) key = simplest_spelling({PitchClass((semitone * 7 + 5) % 12 - 5), placed.key.mode});
  return {{key.tonic, key.mode}, own->lowest.midi() + *shift};
}

/// The tune of the chart, an octave or more away where the singer needs it.
Tune tune_on_sheet(const Chart& chart, const std::optional<SungKey>& sung) {
  Tune tune = tune_on_paper(chart.placed.progression, chart.placed.key);
  const auto own = range_of(tune);
  if (!sung || !own) return tune;
  return moved_by_octaves(std::move(tune), (sung->lowest_midi - own->lowest.midi()) / 12);
}

/// The piece in twelve keys, from its own by fifths upwards.
Drawing booklet(const NamedProgression& source, const Chart& first, const HandOptions& hand_options,
                const HandSettings& settings, const PaperSettings& paper) {
  std::vector<Drawing> charts;
  std::vector<std::string> names;
  for (int turn = 0; turn < 12; ++turn) {
    const Key key = simplest_spelling({PitchClass(first.placed.key.tonic.fifths() + turn), first.placed.key.mode});
    const Chart chart = make_chart(source, KeyText{key.tonic, key.mode}, hand_options, settings);
    charts.push_back(chart_drawing(chart.placed, chart.hands, paper));
    names.push_back(to_string(chart.placed.key));
  }
  const std::string title = source.name == "progression" ? "Chords" : source.name;
  return bound(title + " in twelve keys", std::move(charts), names, paper);
}

}  // namespace

std::function<void()> set_up_chart(OptionParser& parser, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  options->add_progression(parser);
  options->add_key(parser);
  options->add_from(parser);
  options->add_out(parser, ".pdf, .svg, .png, .musicxml, .txt or .json");
  options->add_json(parser);
  auto hand_options = std::make_shared<HandOptions>();
  hand_options->add(parser);
  auto page_options = std::make_shared<PageOptions>();
  page_options->add(parser);
  return [options, hand_options, page_options, &console] {
    const auto file = options->out_given(chart_endings());
    PaperSettings paper = page_options->settings();
    paper.advice = hand_options->advice(console);
    const std::string ending = file ? ending_of(*file) : "";
    if (page_options->all_keys && ending != "pdf") {
      throw Failure(ExitStatus::wrong_input, "--all-keys makes a booklet", "name its file, like --out keys.pdf");
    }
    const NamedProgression source = options->source(console);
    const HandSettings settings = hand_options->settings(console);
    Chart chart = make_chart(source, options->key_given(console), *hand_options, settings);
    std::optional<SungKey> sung;
    if (!page_options->range.empty()) {
      sung = key_for_range(chart.placed, page_options->range);
      chart = make_chart(source, sung->key, *hand_options, settings);
    }
    const bool shows_tune = file && can_show_tune(ending) && !page_options->without_tune && !page_options->slashes &&
                            !page_options->all_keys && has_tune(chart.placed.progression);
    if (shows_tune) paper.staves = page_options->staves ? StaffKind::tune_and_left : StaffKind::tune;
    if (file) check_bars_on_paper(chart.placed.analysis.timeline.bars * (page_options->all_keys ? 12 : 1), ending);
    if (options->json)
      write_output(chart_json(chart.placed.progression, chart.placed.analysis, chart.hands).text(), std::nullopt,
                   console);
    if (page_options->all_keys) {
      write_output(paint_pdf(booklet(source, chart, *hand_options, settings, paper)), file, console);
    } else if (shows_tune) {
      const std::string& stated = chart.placed.progression.composer;
      const LeadSheet sheet{tune_on_sheet(chart, sung),
                            page_options->composer.empty() ? stated : page_options->composer};
      write_output(lead_sheet_in_format(ending, chart.placed, sheet, chart.hands, paper), file, console);
    } else if (file) {
      write_output(chart_in_format(ending, chart.placed, chart.hands, paper), file, console);
    } else if (!options->json) {
      write_output(chart_text(chart.placed, chart.hands, paper.advice, console.width), file, console);
    }
  };
}

}  // namespace romanesca
