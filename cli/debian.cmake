# A package for Debian 12 and what is built on it: `cpack --config build/CPackConfig.cmake -B FOLDER`. What it needs is
# read from the program by dpkg-shlibdeps.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME romanesca)
set(CPACK_PACKAGE_VENDOR "the romanesca authors")
set(CPACK_PACKAGE_CONTACT "the romanesca authors <authors@romanesca.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "teaching music through chords")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "Charts with numerals, keyboards and fingers, analysis, backing
tracks, exercises and a record of students, for piano teachers: a program for
the command line.")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION sound)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# Opened only for --soundfont; letters for titles and words in scripts that the program's own fonts lack.
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libfluidsynth3, fonts-dejavu-core")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
    WORLD_READ WORLD_EXECUTE)
include(CPack)
