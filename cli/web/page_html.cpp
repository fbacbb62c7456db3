#include "cli/web/page_html.h"

#include <fmt/format.h>
#include <glib.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "cli/formats/html_text.h"
#include "cli/web/page_parts.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

/// Bytes as text that needs no escapes in a script element: each four bytes as a number of five digits to base 85, most
/// significant first, digits from '(' to '|' with '}' in place of '<'. A last group of n bytes has n + 1 digits.
std::string text_85(std::span<const unsigned char> bytes) {
  std::string text;
  text.reserve(bytes.size() / 4 * 5 + 5);
  for (std::size_t at = 0; at < bytes.size(); at += 4) {
    std::uint32_t number = 0;
    for (std::size_t i = 0; i < 4; ++i) number = number << 8U | (at + i < bytes.size() ? bytes[at + i] : 0U);
    std::array<char, 5> digits{};
    for (std::size_t i = 5; i-- > 0; number /= 85) {
      const auto digit = static_cast<char>('(' + number % 85);
      digits[i] = digit == '<' ? '}' : digit;
    }
    text.append(digits.data(), std::min<std::size_t>(bytes.size() - at, 4) + 1);
  }
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
  gchar* const encoded = g_base64_encode(digest.data(), digest.size());
  std::string hash(encoded);
  g_free(encoded);
  return "'sha256-" + hash + "'";
}

std::string text_of(std::span<const unsigned char> bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

// For the text that stands there until the script has run.
constexpr std::string_view plain_style =
    "body{margin:0 auto;max-width:60rem;padding:1rem;font:1.125rem/1.5 serif;background:#faf6ec;color:#231d18;"
    "overflow-wrap:break-word}@media (prefers-color-scheme:dark){body{background:#1b1714;color:#f0e7d8}}";

}  // namespace

std::string page_html(const PageContent& content) {
  const auto music = content.lesson ? lesson_music_module() : packet_music_module();
  if (music.empty()) {
    throw Failure(ExitStatus::file_refused, "this build of the program has no page in it",
                  "install clang, lld, wasi-libc and libc++ for wasm32, and build it again; --pdf and --audio work");
  }
  const std::string loader = text_of(page_loader());
  const std::string script = text_of(content.lesson ? lesson_script() : packet_script());
  const std::string policy = fmt::format(
      "default-src 'none'; script-src {} {} 'wasm-unsafe-eval'; style-src {} {}; worker-src blob:{}; base-uri 'none'; "
      "form-action 'none'",
      csp_hash(loader), csp_hash(script), csp_hash(std::string(plain_style)), csp_hash(text_of(page_style())),
      content.lesson ? "; media-src blob:" : "");  // a recording that is opened there can be listened to
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n";
  html += fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n", policy);
  html += "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
  html += fmt::format("<title>{}</title>\n<style>{}</style></head>\n<body>\n<div id=\"plain\">{}</div>\n",
                      html_text(content.title), plain_style, content.plain_html);
  const auto block = [&](const char* id, const std::string& type, const std::string& text) {
    html += fmt::format("<script id=\"{}\" type=\"{}\">{}</script>\n", id, type, text);
  };
  block("data", "application/json", json_in_html(content.data_json));
  block("worker", "text/plain", text_of(page_worker()));
  block("music", "text/plain", text_85(music));
  block("sound", "text/plain", text_85(sound_module()));
  if (content.microphone) block("hearing", "text/plain", text_85(hearing_module()));
  block("page-style", "text/plain", text_85(page_style_packed()));
  block("page-script", "text/plain", text_85(content.lesson ? lesson_script_packed() : packet_script_packed()));
  html += "<script>" + loader + "</script>\n</body></html>\n";
  return html;
}

}  // namespace romanesca
