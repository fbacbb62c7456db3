#pragma once

#include <string>

namespace romanesca {

/// What varies from page to page.
struct PageContent {
  std::string title;
  std::string song;           ///< the title of the song; may be empty
  std::string intro_html;     ///< between the title and the player; already escaped
  std::string fallback_html;  ///< shown until the script has drawn the chart; already escaped
  std::string data_json;      ///< for the script
  bool lesson = false;        ///< with the tools of the lesson page: to write chords and set exercises
};
/// One HTML file that loads and sends nothing: modules, script and style are inside, and a content-security policy
/// allows only those (W3C CSP level 3: hashes, 'wasm-unsafe-eval'). Throws Failure (file_refused) if the program was
/// built without a compiler for WebAssembly.
[[nodiscard]] std::string page_html(const PageContent& content);

}  // namespace romanesca
