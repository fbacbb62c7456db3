// What the program says of a fault of its own. Streams that break stand for what nobody has foreseen.
#include <gtest/gtest.h>

#include <sstream>
#include <stdexcept>
#include <streambuf>
#include <system_error>

#include "cli/program.h"

namespace romanesca {
namespace {

/// A stream whose every write ends in the exception.
template <typename Exception>
class BrokenBuffer : public std::streambuf {
 public:
  explicit BrokenBuffer(Exception exception) : exception_(std::move(exception)) {}

 protected:
  int_type overflow(int_type /*character*/) override { throw exception_; }
  std::streamsize xsputn(const char* /*text*/, std::streamsize /*count*/) override { throw exception_; }

 private:
  Exception exception_;
};

struct Told {
  int status = 0;
  std::string err;
};

template <typename Exception>
Told run_broken(Exception exception, bool debug) {
  BrokenBuffer<Exception> buffer(std::move(exception));
  std::istringstream in;
  std::ostream out(&buffer);
  out.exceptions(std::ios::badbit);
  std::ostringstream err;
  Console console{in, out, err, false, false, false, 80, {}};
  console.debug = debug;
  const ExitStatus status = run_program({"styles"}, console);
  return {static_cast<int>(status), err.str()};
}

TEST(ProgramFault, HasAStatusOfItsOwnAndSaysWhatToSend) {
  const Told told = run_broken(std::logic_error("the tempo map is empty"), false);
  EXPECT_EQ(told.status, 70);
  EXPECT_TRUE(told.err.starts_with("romanesca: this is a fault in the program, not in what you typed\n")) << told.err;
  EXPECT_NE(told.err.find("please send the authors the line that you typed, the file it reads, and romanesca "),
            std::string::npos)
      << told.err;
  EXPECT_NE(told.err.find("leave students' names out"), std::string::npos) << told.err;
  EXPECT_EQ(told.err.find("the tempo map is empty"), std::string::npos) << "the reason is for programmers";
}

TEST(ProgramFault, TellsItsReasonToThoseWhoAsk) {
  const Told told = run_broken(std::logic_error("the tempo map is empty"), true);
  EXPECT_EQ(told.status, 70);
  EXPECT_NE(told.err.find("the reason: "), std::string::npos) << told.err;
  EXPECT_NE(told.err.find(": the tempo map is empty\n"), std::string::npos) << told.err;
}

TEST(ProgramFault, AComputerWithoutRoomIsNoFault) {
  const std::error_code no_thread = std::make_error_code(std::errc::resource_unavailable_try_again);
  const Told told = run_broken(std::system_error(no_thread), false);
  EXPECT_EQ(told.status, 3);
  EXPECT_NE(told.err.find("memory is used up"), std::string::npos) << told.err;
  EXPECT_EQ(run_broken(std::bad_alloc(), false).status, 3);
}

}  // namespace
}  // namespace romanesca
