#pragma once

#include <cstddef>

namespace romanesca {

/// What a bus compressor does.
struct Compression {
  double threshold_db = -17;  ///< of the mean square over both sides, re full scale
  double ratio = 2;           ///< 1 to 20
  double knee_db = 10;        ///< width of the soft knee
  double attack_s = 0.012, release_s = 0.18;
};

/// A gentle compressor for the whole band: it brings loud and soft parts of a bar closer together. It measures a
/// block at a time and interpolates its gain linearly, so it costs two operations a frame.
class Compressor {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  Compressor(const Compression& compression, double sample_rate_hz) noexcept;

  /// One block, in place.
  void process(float* left, float* right) noexcept;

 private:
  Compression compression_;
  double attack_coefficient_, release_coefficient_;  ///< per block
  double reduction_db_ = 0;                          ///< smoothed, 0 or more
  float gain_ = 1;
};

}  // namespace romanesca
