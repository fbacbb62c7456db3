#include "cli/web/page_paper.h"

#include <algorithm>

#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/lead_sheet.h"
#include "cli/formats/paper/paint.h"
#include "cli/web/page_data.h"
#include "cli/web/page_song.h"
#include "theory/songs/paper_tune.h"
#include "theory/songs/song_tune.h"

namespace romanesca {

OrderedJson form_json(const PrintedForm& form) {
  OrderedJson list = OrderedJson::array();
  for (const PrintedSection& section : form.sections) {
    OrderedJson bars = OrderedJson::array();
    for (const PrintedBar& bar : section.bars) {
      bars.push_back({bar.bar, int{bar.begins_row}, int{bar.opens}, bar.closes, bar.ending, bar.ending_to,
                      int{bar.ending_ends}, int{bar.segno}, int{bar.coda}, int{bar.fine}, int{bar.to_coda}});
    }
    list.push_back({section.name, section.section, section.same_as, int{section.has_words}, int{section.moved},
                    section.times, static_cast<int>(section.jump), std::move(bars)});
  }
  return list;
}

PrintedForm read_form_json(const OrderedJson& json, int bars, std::size_t sections) {
  constexpr std::size_t section_members = 8, bar_members = 11;
  constexpr int most_times = 100;
  const auto number = [](const OrderedJson& each, int lowest, int highest) {
    return each.is_number_integer() ? std::clamp(each.get<int>(), lowest, highest) : lowest;
  };
  const auto flag = [&](const OrderedJson& each) { return number(each, 0, 1) == 1; };
  const auto text = [](const OrderedJson& each) { return each.is_string() ? each.get<std::string>() : std::string(); };
  PrintedForm form;
  form.bars_played = bars;
  if (!json.is_array()) return {};
  for (const OrderedJson& each : json) {
    if (!each.is_array() || each.size() != section_members || !each[7].is_array()) return {};
    PrintedSection section;
    section.name = text(each[0]);
    section.section = static_cast<std::size_t>(number(each[1], 0, bars));
    section.same_as = text(each[2]);
    section.has_words = flag(each[3]);
    section.moved = flag(each[4]);
    section.times = number(each[5], 1, most_times);
    section.jump = static_cast<Jump>(number(each[6], 0, static_cast<int>(Jump::dal_segno_al_coda)));
    if (section.section >= sections) return {};
    for (const OrderedJson& row : each[7]) {
      if (!row.is_array() || row.size() != bar_members || number(row[0], 0, bars + 1) % (bars + 1) == 0) return {};
      section.bars.push_back({number(row[0], 1, bars), flag(row[1]), flag(row[2]), number(row[3], 0, most_times),
                              number(row[4], 0, most_times), number(row[5], 0, most_times), flag(row[6]), flag(row[7]),
                              flag(row[8]), flag(row[9]), flag(row[10])});
    }
    form.sections.push_back(std::move(section));
  }
  return form;
}

OrderedJson paper_answer(const OrderedJson& request) {
  constexpr double letter_width = 612, letter_height = 792;
  constexpr std::size_t most_pages = 60;
  auto song = song_of(request);
  if (!song) return error_json(song.error());
  PaperSettings paper;
  paper.foot = false;
  paper.below = std::clamp(number_in(request, "below", 0), 0.0, letter_height / 2);
  paper.student = text_in(request, "student");
  if (flag_in(request, "letter")) {
    paper.width = letter_width;
    paper.height = letter_height;
  }
  if (text_in(request, "language") == "de") {
    paper.words = german_words;
    if (song->progression.names == NoteNames::english) song->progression.names = NoteNames::german;
  }
  if (const auto hidden = request.find("hidden"); hidden != request.end() && hidden->is_array()) {
    for (const auto& each : *hidden) {
      if (each.is_number_unsigned()) paper.open_chords.push_back(each.get<std::size_t>());
    }
    std::sort(paper.open_chords.begin(), paper.open_chords.end());
  }
  if (const std::string title = text_in(request, "title"); !title.empty()) song->progression.title = title;
  if (const auto sung = request.find("sung"); sung != request.end() && sung->is_array()) {
    std::vector<std::string> words;
    for (const auto& each : *sung) words.push_back(each.is_string() ? each.get<std::string>() : std::string());
    put_words_by_chord(song->progression, words);
  }
  if (const auto given = request.find("form"); given != request.end()) {
    PrintedForm form = read_form_json(*given, song->analysis.timeline.bars, song->progression.sections.size());
    if (!form.sections.empty()) song->progression.form = std::move(form);
  }
  const auto asked = request.find("hands");
  const HandSettings settings = read_hand_settings(asked == request.end() ? OrderedJson() : *asked);
  Hands hands = hands_for(song->analysis.timeline, settings, song->analysis.keys.by_bar);
  Drawing drawing = chart_drawing(*song, hands, paper);
  if (has_tune(song->progression) && paper.open_chords.empty()) {
    hands.loops = false;  // the chart goes round for practice, the song does not
    Drawing sheet = lead_sheet_drawing(*song, tune_on_paper(song->progression, song->key), hands, paper,
                                       song->progression.composer);
    std::move(sheet.pages.begin(), sheet.pages.end(), std::back_inserter(drawing.pages));
  }
  drawing.pages.resize(std::min(drawing.pages.size(), most_pages));
  return {{"pages", paint_svg_pages(drawing)}};
}

}  // namespace romanesca
