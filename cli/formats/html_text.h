#pragma once

#include <string>
#include <string_view>

namespace romanesca {

/// Escapes a text for use between tags or in a quoted attribute of HTML or SVG: & < > " ' as character references, so
/// that no name, title or message becomes markup (HTML Living Standard, 13.1.4).
[[nodiscard]] std::string html_text(std::string_view text);

/// Escapes JSON for a script element: the sign < only as \u003c, so that nothing in it ends the element or
/// begins a comment. @param json well-formed, where < occurs inside strings alone
[[nodiscard]] std::string json_in_html(std::string_view json);

}  // namespace romanesca
