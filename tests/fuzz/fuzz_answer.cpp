// Any bytes as the answer to an exercise; its kind, key and level come from the first three.
#include <cstdint>

#include "progressions/exercise.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 3 || size > 400) return 0;
  const auto kinds = exercise_kinds();
  const ExerciseKind& kind = kinds[data[0] % kinds.size()];
  const auto keys = written_keys();
  const int level_number = kind.lowest + data[1] % (kind.highest - kind.lowest + 1);
  ExerciseRequest request;
  request.key = keys[data[2] % keys.size()];
  request.level = level(level_number);
  request.id = kind.id;
  request.seed = data[1];
  request.choices = 1;
  const auto set = set_exercises(request);
  if (!set) return 0;
  const auto check = check_answer(set->front(), {reinterpret_cast<const char*>(data) + 3, size - 3});
  if (!check) {
    if (check.error().message.empty()) std::abort();
  } else if (check->right != check->not_yet.empty() || check->encouragement.empty()) {
    std::abort();
  }
  return 0;
}
