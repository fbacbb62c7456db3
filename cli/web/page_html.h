#pragma once

#include <string>

namespace romanesca {

/// What varies from page to page.
struct PageContent {
  std::string title;
  std::string plain_html;   ///< what stands there for browsers without script and until it has run; already escaped
  std::string data_json;    ///< for the script
  bool lesson = false;      ///< with the rooms of the lesson page: to write songs and make packets
  bool microphone = false;  ///< with the module that listens to a piano
};
/// One HTML file that loads and sends nothing: modules, script and style are inside, and a content-security policy
/// allows only those (W3C CSP level 3: hashes, 'wasm-unsafe-eval'). Throws Failure (file_refused) if the program was
/// built without a compiler for WebAssembly.
[[nodiscard]] std::string page_html(const PageContent& content);

}  // namespace romanesca
