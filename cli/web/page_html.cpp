#include "cli/web/page_html.h"

#include <fmt/format.h>
#include <glib.h>

#include <array>
#include <span>
#include <string_view>

#include "cli/formats/html_text.h"
#include "cli/web/page_parts.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

std::string base64(std::span<const unsigned char> bytes) {
  gchar* const encoded = g_base64_encode(bytes.data(), bytes.size());
  std::string text(encoded);
  g_free(encoded);
  return text;
}

/// The source expression 'sha256-...' of a script or style for the content-security policy.
std::string csp_hash(const std::string& text) {
  GChecksum* const checksum = g_checksum_new(G_CHECKSUM_SHA256);
  g_checksum_update(checksum, reinterpret_cast<const guchar*>(text.data()), static_cast<gssize>(text.size()));
  std::array<guchar, 32> digest{};
  gsize size = digest.size();
  g_checksum_get_digest(checksum, digest.data(), &size);
  g_checksum_free(checksum);
  return "'sha256-" + base64(digest) + "'";
}

std::string text_of(std::string_view name) {
  for (const EmbeddedText& text : page_texts()) {
    if (text.name == name) return std::string(text.text);
  }
  return {};
}

const std::string& script() {
  static const std::string all =
      text_of("engine") + text_of("keyboard") + text_of("player") + text_of("view") + text_of("lesson");
  return all;
}

constexpr std::string_view player_html = R"(<section class="screen" aria-labelledby="player-head">
<h2 id="player-head">Play along</h2>
<p class="care-start">Start with the volume low, above all with headphones.</p>
<div class="controls"><button id="play" type="button" disabled>Play</button>
<label><input id="count-in" type="checkbox" checked> count-in</label>
<label>tempo <input id="tempo" type="range" min="20" max="400" value="90"> <span id="tempo-number"></span></label>
<label>volume <input id="volume" type="range" min="0" max="1" step="0.02" value="0.7"></label></div>
<div id="task" hidden><p id="asks"></p><div class="controls"><button id="answer" type="button">Show the answer</button></div>
<p id="solution" role="status"></p></div>
<div id="band" class="controls"><label>key <select id="key"></select></label>
<label>style <select id="style"></select></label>
<label>a little faster <select id="rise"><option value="0">never</option><option value="1">every round</option>
<option value="2">every 2 rounds</option><option value="4">every 4 rounds</option></select></label>
<label>call and answer <select id="trade"><option value="0">no</option><option value="1">1 bar each</option>
<option value="2">2 bars each</option><option value="4">4 bars each</option></select></label>
<label><input id="guide" type="checkbox"> guide</label>
<label><input id="click" type="checkbox"> metronome</label></div>
<fieldset id="parts" aria-label="Who plays"></fieldset>
<div class="sounding"><span id="now" aria-live="polite"></span><span id="next"></span></div>
<div id="touch"></div>
<p id="played" role="status"></p>
<div class="controls"><button id="midi" type="button" hidden>Hear my MIDI keyboard</button>
<button id="print" type="button">Print</button></div>
<p id="news" role="status"></p>
</section>)";

constexpr std::string_view lesson_html = R"(<section id="lesson" class="screen" hidden aria-label="Lesson">
<h2>Chords</h2>
<div class="controls"><label>from the library <select id="library"><option value="">choose</option></select></label>
<label>level <select id="level"><option>1</option><option>2</option><option selected>3</option><option>4</option>
<option>5</option><option>6</option><option>7</option><option>8</option></select></label></div>
<label for="text">Symbols, Roman numerals or numbers</label>
<textarea id="text" spellcheck="false" aria-describedby="fault"></textarea>
<div id="fault" role="alert"></div>
<h2>What it is</h2>
<div id="analysis"></div>
<h2>An exercise</h2>
<div class="controls"><label>kind <select id="kind"><option value="">any</option><option>improvise</option>
<option>compose</option><option>technique</option></select></label>
<button id="new-exercise" type="button">New exercise</button></div>
<div id="exercise"></div>
<h2>To take home</h2>
<div class="controls"><label>for <input id="for" type="text" maxlength="100"></label></div>
<label for="greeting">A few words</label>
<textarea id="greeting" maxlength="2000"></textarea>
<div class="controls"><button id="save" type="button">Save a packet</button></div>
</section>)";

constexpr std::string_view footer_html = R"(<footer class="care">
<p>Stop when something hurts; pain that stays belongs to a doctor. Listen softly, and take breaks.</p>
<p>Everything happens in this file: nothing is loaded from elsewhere, nothing is sent anywhere.</p></footer>)";

}  // namespace

std::string page_html(const PageContent& content) {
  const auto music = content.lesson ? lesson_music_module() : packet_music_module();
  if (music.empty()) {
    throw Failure(ExitStatus::file_refused, "this build of the program has no page in it",
                  "install clang, lld, wasi-libc and libc++ for wasm32, and build it again; --pdf and --audio work");
  }
  const std::string style = text_of("page");
  const std::string policy = fmt::format(
      "default-src 'none'; script-src {} 'wasm-unsafe-eval'; style-src {}; worker-src blob:; base-uri 'none'; "
      "form-action 'none'",
      csp_hash(script()), csp_hash(style));
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n";
  html += fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n", policy);
  html += "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
  html += fmt::format("<title>{}</title>\n<style>{}</style></head>\n<body>\n<main>\n", html_text(content.title), style);
  html += fmt::format("<h1 id=\"title\"{}>{}</h1>\n<p id=\"song\">{}</p>\n<div id=\"words\">{}</div>\n",
                      content.lesson ? "" : " data-written=\"yes\"", html_text(content.title), html_text(content.song),
                      content.intro_html);
  if (content.lesson) html += lesson_html;
  html += player_html;
  html += fmt::format(
      "\n<section aria-labelledby=\"chart-head\"><h2 id=\"chart-head\">The chords in "
      "<span id=\"key-name\"></span></h2>\n<p>Round marks: right hand; square marks: left hand; the "
      "numbers are fingers.</p>\n<div id=\"chart\">{}</div></section>\n",
      content.fallback_html);
  html += footer_html;
  html += "\n</main>\n";
  const auto block = [&](const char* id, const std::string& type, const std::string& text) {
    html += fmt::format("<script id=\"{}\" type=\"{}\">{}</script>\n", id, type, text);
  };
  block("data", "application/json", json_in_html(content.data_json));
  block("worker", "text/plain", text_of("worker"));
  block("music", "text/plain", base64(music));
  block("sound", "text/plain", base64(sound_module()));
  block("sound-plain", "text/plain", base64(sound_plain_module()));
  html += "<script>" + script() + "</script>\n</body></html>\n";
  return html;
}

}  // namespace romanesca
