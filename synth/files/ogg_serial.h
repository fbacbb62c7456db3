#pragma once

#include <string>

namespace romanesca {

/// Gives the one stream of an Ogg file a fixed serial number instead of the random one that it was written with, and
/// its pages their new checksums (RFC 3533, section 6: CRC with the polynomial 0x04C11DB7), so that the same sound
/// gives the same bytes. Throws SystemError when the file cannot be read or written, or has no pages.
void fix_ogg_serial(const std::string& path);

}  // namespace romanesca
