#include "cli/formats/musicxml_score.h"

#include <string_view>

namespace romanesca {
namespace {

constexpr const char* tree_indent = " ";

struct XmlTextWriter : pugi::xml_writer {
  std::string text;
  void write(const void* data, std::size_t size) override { text.append(static_cast<const char*>(data), size); }
};

/// The score without its measures.
std::string frame(const std::string& title, const std::string& composer, const char* part) {
  pugi::xml_document tree;
  pugi::xml_node declaration = tree.append_child(pugi::node_declaration);
  declaration.append_attribute("version") = "1.0";
  declaration.append_attribute("encoding") = "UTF-8";
  pugi::xml_node score = tree.append_child("score-partwise");
  score.append_attribute("version") = "4.0";
  score.append_child("work").append_child("work-title").text() = xml_text(title).c_str();
  pugi::xml_node identification = score.append_child("identification");
  if (!composer.empty()) {
    pugi::xml_node creator = identification.append_child("creator");
    creator.append_attribute("type") = "composer";
    creator.text() = xml_text(composer).c_str();
  }
  identification.append_child("encoding").append_child("software").text() = "romanesca";
  pugi::xml_node listed = score.append_child("part-list").append_child("score-part");
  listed.append_attribute("id") = "P1";
  listed.append_child("part-name").text() = part;
  score.append_child("part").append_attribute("id") = "P1";
  XmlTextWriter writer;
  tree.save(writer, tree_indent, pugi::format_default, pugi::encoding_utf8);
  return writer.text;
}

}  // namespace

std::string xml_text(const std::string& text) {
  std::string clean;
  for (const char c : text) clean += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  return clean;
}

std::string text_of_measure(pugi::xml_node measure) {
  XmlTextWriter writer;
  measure.print(writer, tree_indent, pugi::format_default, pugi::encoding_utf8, 2);
  return writer.text;
}

std::string musicxml_score(const std::string& title, const std::string& composer, const char* part,
                           const std::string& measures) {
  constexpr std::string_view gap = "<part id=\"P1\" />";  // stands here only: a "<" in a title is escaped
  const std::string whole = frame(title, composer, part);
  const std::size_t at = whole.find(gap);
  return whole.substr(0, at) + "<part id=\"P1\">\n" + measures + std::string(tree_indent) + "</part>" +
         whole.substr(at + gap.size());
}

}  // namespace romanesca
