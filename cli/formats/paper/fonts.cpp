#include "cli/formats/paper/fonts.h"

#include <fcntl.h>
#include <fontconfig/fontconfig.h>
#include <unistd.h>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

/// Leads standard error nowhere as long as it lives; fontconfig writes there and nowhere else.
class HushedErrors {
 public:
  HushedErrors() : kept_(fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, STDERR_FILENO + 1)) {
    const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nowhere < 0) return;
    if (kept_ >= 0) dup2(nowhere, STDERR_FILENO);
    close(nowhere);
  }
  ~HushedErrors() {
    if (kept_ < 0) return;
    dup2(kept_, STDERR_FILENO);
    close(kept_);
  }
  HushedErrors(const HushedErrors&) = delete;
  HushedErrors& operator=(const HushedErrors&) = delete;

 private:
  int kept_;
};

bool find_fonts() {
  const HushedErrors hushed;
  if (FcInit() != FcTrue) return false;
  const FcFontSet* const fonts = FcConfigGetFonts(nullptr, FcSetSystem);
  return fonts != nullptr && fonts->nfont > 0;
}

}  // namespace

void load_fonts() {
  static const bool found = find_fonts();
  if (found) return;
  throw Failure(ExitStatus::file_refused, "this computer has no font to write the page with",
                "install one, like the package fonts-dejavu-core");
}

}  // namespace romanesca
