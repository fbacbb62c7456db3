#include "synth/live/jack_watch.h"

#include <dlfcn.h>

namespace romanesca {
namespace {

constexpr int no_start_server = 1;  // JackNoStartServer

template <typename Function>
bool find(void* library, const char* name, Function& function) noexcept {
  function = reinterpret_cast<Function>(dlsym(library, name));
  return function != nullptr;
}

void ignore_message(const char* /*text*/) noexcept {}
void ignore_alsa_message(const char* /*file*/, int /*line*/, const char* /*function*/, int /*error*/,
                         const char* /*format*/, ...) noexcept {}

}  // namespace

struct JackWatch::Library {
  void* (*client_open)(const char*, int, int*, ...) = nullptr;
  int (*client_close)(void*) = nullptr;
  void (*on_shutdown)(void*, void (*)(void*), void*) = nullptr;
  int (*set_process_callback)(void*, int (*)(std::uint32_t, void*), void*) = nullptr;
  int (*activate)(void*) = nullptr;
  void* (*port_by_name)(void*, const char*) = nullptr;
  void (*set_error_function)(void (*)(const char*)) = nullptr;
  void (*set_info_function)(void (*)(const char*)) = nullptr;
  bool complete = false;

  Library() noexcept {
    void* const library = dlopen("libjack.so.0", RTLD_NOW);
    complete = library != nullptr && find(library, "jack_client_open", client_open) &&
               find(library, "jack_client_close", client_close) && find(library, "jack_on_shutdown", on_shutdown) &&
               find(library, "jack_set_process_callback", set_process_callback) &&
               find(library, "jack_activate", activate) && find(library, "jack_port_by_name", port_by_name) &&
               find(library, "jack_set_error_function", set_error_function) &&
               find(library, "jack_set_info_function", set_info_function);
  }

  static const Library& one() noexcept {
    static const Library library;
    return library;
  }
};

void silence_backend_logs() noexcept {
  const JackWatch::Library& jack = JackWatch::Library::one();
  if (jack.complete) {
    jack.set_error_function(&ignore_message);
    jack.set_info_function(&ignore_message);
  }
  if (void* const alsa = dlopen("libasound.so.2", RTLD_NOW | RTLD_NOLOAD)) {
    int (*set_handler)(void (*)(const char*, int, const char*, int, const char*, ...)) = nullptr;
    if (find(alsa, "snd_lib_error_set_handler", set_handler)) set_handler(&ignore_alsa_message);
    dlclose(alsa);
  }
}

std::unique_ptr<JackWatch> JackWatch::of_running_server() {
  silence_backend_logs();
  const Library& library = Library::one();
  if (!library.complete) return nullptr;
  void* const client = library.client_open("romanesca-watch", no_start_server, nullptr);
  if (client == nullptr) return nullptr;
  std::unique_ptr<JackWatch> watch(new JackWatch(library, client));
  library.on_shutdown(client, &JackWatch::on_end, watch.get());
  library.set_process_callback(client, &JackWatch::on_cycle, watch.get());
  if (library.activate(client) != 0) return nullptr;
  return watch;
}

JackWatch::~JackWatch() { library_.client_close(client_); }

bool JackWatch::has_port(const std::string& name) const {
  return running() && library_.port_by_name(client_, name.c_str()) != nullptr;
}

void JackWatch::on_end(void* self) noexcept { static_cast<JackWatch*>(self)->ended_.store(true); }

int JackWatch::on_cycle(std::uint32_t /*frames*/, void* self) noexcept {
  static_cast<JackWatch*>(self)->cycles_.fetch_add(1, std::memory_order_relaxed);
  return 0;
}

}  // namespace romanesca
