#pragma once

#include <string>

namespace romanesca {

/// Replaces the random serial number of an Ogg file's one stream by a fixed one and updates the checksums of its pages
/// (RFC 3533, section 6: CRC with the polynomial 0x04C11DB7), so that the same sound gives the same bytes. libsndfile
/// has no setting for the number. Throws SystemError when the file cannot be read or written, or has no pages.
void fix_ogg_serial(const std::string& path);

}  // namespace romanesca
