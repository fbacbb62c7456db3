// Any bytes as a live lesson in a world without devices: keys that the teacher presses, what the student plays, a port
// that goes and comes back. In the end nothing may sound any more.
#include "cli/play/live_environment.h"
#include "scratch_run.h"
#include "tests/cli/play/fake_environment.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 2 || size > 200) return 0;
  test::FakeEnvironment world;
  world.end_ms = 8'000;
  std::vector<std::string> arguments{
      "play", "| C Am | F G7 |\n[Bridge]\n| Dm7 | % | N.C. E7 |", "--port", "piano", "--tempo", "240"};
  if ((data[0] & 1U) != 0) arguments.insert(arguments.end(), {"--listen", "keyboard"});
  if ((data[0] & 3U) == 3) arguments.emplace_back((data[0] & 4U) != 0 ? "--wait" : "--improvise");
  if ((data[0] & 8U) != 0) arguments.emplace_back("--clock");
  if ((data[0] & 16U) != 0) arguments.insert(arguments.end(), {"--call", "2"});
  if ((data[0] & 32U) != 0) world.port_gone_ms = 2'000;
  if ((data[0] & 64U) != 0) world.port_back_ms = 5'000;
  if ((data[0] & 128U) != 0) arguments.emplace_back("--plain");
  world.shown = {20 + data[1] % 100, 2 + data[1] % 40};
  int now = 0;
  for (std::size_t i = 2; i + 1 < size; i += 2) {
    now += data[i] * 2;
    if (data[i + 1] < 128) {
      world.keys.insert({now, data[i + 1]});
    } else {
      world.plays(now, 100 + data[i], {data[i + 1] - 100});
    }
  }
  std::istringstream in;
  std::ostringstream out, err;
  test::empty_scratch();
  Console console{in, out, err, true, true, false, world.shown.columns, {}, {}, {}, true, &world};
  const ExitStatus status = run_program(arguments, console);
  test::must_be_told_well({static_cast<int>(status), out.str(), err.str()}, {});
  if (world.port_gone_ms < 0 && !world.sounding().empty()) std::abort();
  return 0;
}
