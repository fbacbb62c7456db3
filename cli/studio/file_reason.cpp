#include "cli/studio/file_reason.h"

#include <cerrno>
#include <cstring>

namespace romanesca {
namespace {

std::string words_of_system(int error) {
  return error == 0 ? "the system does not say why"
                    : std::strerror(error);  // NOLINT(concurrency-mt-unsafe): one thread
}

}  // namespace

FileReason reason_not_written(int error) {
  switch (error) {
    case ENOSPC:
      return {"the disk is full", "make room on it, or write to another"};
    case EDQUOT:
      return {"your share of the disk is used up", "make room in your folders, or write to another disk"};
    case EFBIG:
      return {"a file may not grow that large there", "write to another disk, or make something shorter"};
    case EACCES:
    case EPERM:
      return {"you may not write there", "choose a folder of yours"};
    case EROFS:
      return {"that disk is read-only", "choose a folder on another"};
    case ENAMETOOLONG:
      return {"the name is too long", "choose a shorter one"};
    case ENOENT:
      return {"the folder is gone or takes no files", "choose another"};
    case EMFILE:
    case ENFILE:
      return {"too many files are open", "close other programs and try again"};
    default:
      return {words_of_system(error), "try again, or choose another folder"};
  }
}

FileReason reason_not_read(int error) {
  switch (error) {
    case ENOENT:
    case ENOTDIR:
      return {"there is no such file", "look at its name and folder"};
    case EACCES:
    case EPERM:
      return {"you may not read it", "copy it to a folder of yours, or ask whoever it belongs to"};
    case ENAMETOOLONG:
      return {"no file has a name that long", "look at its name and folder"};
    case ELOOP:
      return {"it leads to itself", "give the file that it was meant to lead to"};
    default:
      return {words_of_system(error), "try again, or give another file"};
  }
}

}  // namespace romanesca
