# The fonts of the pages, taken from this computer when the program is built; it needs none of them when it runs.
# Emmentaler (SIL Open Font Licence 1.1): outlines of the signs that are used. TeX Gyre Schola and Heros (GUST Font
# License): whole files, as they are.
file(GLOB music_fonts /usr/share/lilypond/*/fonts/otf /usr/local/share/lilypond/*/fonts/otf
     /usr/share/fonts/OTF /opt/homebrew/share/lilypond/*/fonts/otf)
find_file(ROMANESCA_MUSIC_FONT emmentaler-20.otf PATHS ${music_fonts} DOC "Emmentaler at 20 points")
find_file(ROMANESCA_BRACE_FONT emmentaler-brace.otf PATHS ${music_fonts} DOC "The braces that belong to it")
set(text_fonts /usr/share/texmf/fonts/opentype/public/tex-gyre /usr/share/fonts/opentype/texgyre
    /usr/share/texmf-dist/fonts/opentype/public/tex-gyre /usr/share/fonts/tex-gyre)
foreach(face roman=texgyreschola-regular italic=texgyreschola-italic bold=texgyreschola-bold figures=texgyreheroscn-bold)
  string(REPLACE "=" ";" face ${face})
  list(GET face 0 name)
  list(GET face 1 file)
  find_file(ROMANESCA_FONT_${name} ${file}.otf PATHS ${text_fonts} DOC "The face ${name} of the pages")
  if(NOT ROMANESCA_FONT_${name})
    message(FATAL_ERROR "No ${file}.otf: install fonts-texgyre (demo/prepare does), or set ROMANESCA_FONT_${name}")
  endif()
  list(APPEND font_files ${ROMANESCA_FONT_${name}})
  string(APPEND font_body "asm(\".section .rodata\\n.balign 16\\n.global romanesca_font_${name}\\nromanesca_font_${name}:\\n.incbin \\\"${ROMANESCA_FONT_${name}}\\\"\\n.global romanesca_font_${name}_end\\nromanesca_font_${name}_end:\\n.byte 0\\n.previous\\n\");\nextern \"C\" const unsigned char romanesca_font_${name}[], romanesca_font_${name}_end[];\nstd::span<const unsigned char> romanesca::embedded_font_${name}() { return {romanesca_font_${name}, romanesca_font_${name}_end}; }\n")
endforeach()
if(NOT ROMANESCA_MUSIC_FONT OR NOT ROMANESCA_BRACE_FONT)
  message(FATAL_ERROR "No emmentaler-20.otf and emmentaler-brace.otf: install lilypond-fonts (demo/prepare does), or set ROMANESCA_MUSIC_FONT and ROMANESCA_BRACE_FONT")
endif()

set(font_source ${PROJECT_BINARY_DIR}/embedded/fonts.cpp)
file(CONFIGURE OUTPUT ${font_source} @ONLY CONTENT "// Made by CMake.\n#include \"cli/formats/paper/embedded_fonts.h\"\n\n@font_body@")
set_source_files_properties(${font_source} PROPERTIES OBJECT_DEPENDS "${font_files}" SKIP_UNITY_BUILD_INCLUSION ON)

pkg_check_modules(freetype REQUIRED IMPORTED_TARGET freetype2)
add_executable(write_glyphs formats/engraving/generator/write_glyphs.cpp)
target_include_directories(write_glyphs PRIVATE ${PROJECT_SOURCE_DIR})
target_link_libraries(write_glyphs PRIVATE PkgConfig::freetype)
set(glyph_source ${PROJECT_BINARY_DIR}/embedded/glyphs.cpp)
file(MAKE_DIRECTORY ${PROJECT_BINARY_DIR}/embedded)
add_custom_command(OUTPUT ${glyph_source}
  COMMAND write_glyphs ${ROMANESCA_MUSIC_FONT} ${ROMANESCA_BRACE_FONT} ${glyph_source}
  DEPENDS write_glyphs ${ROMANESCA_MUSIC_FONT} ${ROMANESCA_BRACE_FONT} COMMENT "Outlines of the signs of music" VERBATIM)
target_sources(formats PRIVATE ${font_source} ${glyph_source})
# For the page, which brings no fonts.
add_executable(write_widths formats/paper/generator/write_widths.cpp)
target_include_directories(write_widths PRIVATE ${PROJECT_SOURCE_DIR})
target_link_libraries(write_widths PRIVATE PkgConfig::freetype)
set(width_source ${PROJECT_BINARY_DIR}/embedded/text_widths.cpp)
add_custom_command(OUTPUT ${width_source}
  COMMAND write_widths ${font_files} ${width_source}
  DEPENDS write_widths ${font_files} COMMENT "Widths of the letters" VERBATIM)
add_custom_target(text_widths DEPENDS ${width_source})
# What their licences ask for goes with the program.
foreach(package lilypond-fonts fonts-texgyre)
  if(EXISTS /usr/share/doc/${package}/copyright)
    install(FILES /usr/share/doc/${package}/copyright TYPE DOC RENAME ${package}.copyright)
  endif()
endforeach()
