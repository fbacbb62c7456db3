// How the program reports an internal error. A stream that throws stands for any unexpected exception.
#include <gtest/gtest.h>

#include <sstream>
#include <stdexcept>
#include <streambuf>
#include <system_error>

#include "cli/program.h"

namespace romanesca {
namespace {

/// A stream buffer that throws the exception at every write.
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

struct RunResult {
  int status = 0;
  std::string err;
};

template <typename Exception>
RunResult run_broken(Exception exception, bool debug) {
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

TEST(ProgramFault, HasItsOwnStatusAndSaysWhatToSend) {
  const RunResult result = run_broken(std::logic_error("the tempo map is empty"), false);
  EXPECT_EQ(result.status, 70);
  EXPECT_TRUE(result.err.starts_with("romanesca: this is a fault in the program, not in what you typed\n"))
      << result.err;
  EXPECT_NE(result.err.find("please send the authors the line that you typed, the file it reads, and romanesca "),
            std::string::npos)
      << result.err;
  EXPECT_NE(result.err.find("leave students' names out"), std::string::npos) << result.err;
  EXPECT_EQ(result.err.find("the tempo map is empty"), std::string::npos) << "the reason is for programmers";
}

TEST(ProgramFault, ShowsTheReasonInDebugMode) {
  const RunResult result = run_broken(std::logic_error("the tempo map is empty"), true);
  EXPECT_EQ(result.status, 70);
  EXPECT_NE(result.err.find("the reason: "), std::string::npos) << result.err;
  EXPECT_NE(result.err.find(": the tempo map is empty\n"), std::string::npos) << result.err;
}

TEST(ProgramFault, LackOfMemoryIsNotAProgramFault) {
  const std::error_code no_thread = std::make_error_code(std::errc::resource_unavailable_try_again);
  const RunResult result = run_broken(std::system_error(no_thread), false);
  EXPECT_EQ(result.status, 3);
  EXPECT_NE(result.err.find("memory is used up"), std::string::npos) << result.err;
  EXPECT_EQ(run_broken(std::bad_alloc(), false).status, 3);
}

}  // namespace
}  // namespace romanesca
