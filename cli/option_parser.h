#pragma once

// The option parser's types by name alone: only a file that adds or reads options needs its whole long header,
// <CLI/CLI.hpp>.

namespace CLI {  // NOLINT(readability-identifier-naming): the library's own name

class App;
class Option;
class ParseError;

}  // namespace CLI
