# Sourced by the tests of this folder: a bare Debian 12 that debootstrap makes, and a way to run commands in it.

[ "$(id -u)" -eq 0 ] || { echo "This needs root: debootstrap and chroot do." >&2; exit 1; }
command -v debootstrap >/dev/null || { echo "Please install debootstrap first." >&2; exit 1; }

# make_system [FOLDER]: sets $system to the bare system's folder. One that is there is used again; without FOLDER it
# goes when the script ends.
make_system() {
  system=${1:-}
  if [ -z "$system" ]; then
    system=$(mktemp -d)
    trap 'rm -rf "$system"' EXIT
  fi
  [ -e "$system/etc/debian_version" ] || debootstrap --variant=minbase bookworm "$system"
}

inside() {
  chroot "$system" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"
}
