#pragma once

#include <string>

namespace romanesca {

/// One HTML file that needs nothing from elsewhere and sends nothing: the program's modules, script and style in it,
/// and a content-security policy that allows just those (W3C CSP level 3: hashes, 'wasm-unsafe-eval').
struct PageParts {
  std::string title;
  std::string song;      ///< the title of the song; may be empty
  std::string words;     ///< HTML between the title and the player, escaped by whoever made it
  std::string fallback;  ///< HTML in place of the chart until the script has drawn it
  std::string data;      ///< JSON for the script
  bool lesson = false;   ///< with all of the program, to write and set exercises in
};
/// Throws Failure (file_refused) where the program was built without a compiler for WebAssembly.
[[nodiscard]] std::string page_html(const PageParts& parts);

}  // namespace romanesca
