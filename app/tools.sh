# shellcheck shell=bash
# What a fresh Debian or Ubuntu machine with rustup lacks for building and testing the page. Sourced by app/serve,
# tests/run and .ci/run. Each need_* installs only what is missing and prints what it installs.

trunk_version=0.21.14
binaryen_version=132.0.0
wasm_split_version=0.2.4

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
target_dir=${CARGO_TARGET_DIR:-$root/target}
case $target_dir in
  /*) ;;
  *) target_dir=$PWD/$target_dir ;;
esac
export CARGO_TARGET_DIR=$target_dir
site_dir=$target_dir/site
export PATH="${CARGO_HOME:-$HOME/.cargo}/bin:$PATH:$HOME/.local/bin"

# A build that downloads would hide what it downloads; everything trunk calls is put on the PATH here.
export TRUNK_OFFLINE=true TRUNK_SKIP_VERSION_CHECK=true

say() { printf '%s\n' "$*" >&2; }

fail() {
  say "$*"
  exit 1
}

has() { command -v "$1" >/dev/null 2>&1; }

as_root() {
  if [ "$(id -u)" -eq 0 ]; then
    "$@"
  elif has sudo; then
    sudo "$@"
  else
    fail "This needs root, and there is no sudo: run '$*' as root, then start again."
  fi
}

apt_is_fresh=no
apt_update_once() {
  has apt-get || fail "There is no apt-get here: install $* by hand, then start again."
  if [ "$apt_is_fresh" = no ]; then
    as_root apt-get update -q >&2 || say "apt-get update failed; trying with the package lists at hand."
    apt_is_fresh=yes
  fi
}

# apt_has PACKAGE: whether apt knows a version of it to install. (No pipe into `grep -q`: it would stop apt-cache in mid-line,
# and with pipefail that counts as no.)
apt_has() { [[ $(apt-cache policy "$1" 2>/dev/null) == *"Candidate: "[!\(]* ]]; }

apt_install() {
  apt_update_once "$@"
  say "Installing with apt-get: $*"
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends "$@" >&2
}

need_rust() {
  has cargo || fail "cargo is missing: install Rust with rustup, as rust-lang.org says, then start again."
  if ! has cc; then
    apt_install gcc libc6-dev || fail "A C linker (cc) is missing and could not be installed: install gcc, then start again."
  fi
}

need_wasm_target() {
  need_rust
  local libs
  libs=$(rustc --print target-libdir --target wasm32-unknown-unknown 2>/dev/null) || libs=
  if [ -z "$libs" ] || ! [ -d "$libs" ]; then
    has rustup || fail "Rust's wasm32-unknown-unknown target is missing, and there is no rustup to add it."
    say "Installing with rustup: target wasm32-unknown-unknown"
    rustup target add wasm32-unknown-unknown >&2
  fi
}

# A tool is built in a folder of its own, which cargo removes, rather than among what the project builds.
cargo_install() { env -u CARGO_TARGET_DIR cargo install "$@"; }

# The version of a package in Cargo.lock.
locked_version() {
  awk -v wanted="name = \"$1\"" '$0 == wanted { getline; gsub(/version = |"/, ""); print; exit }' "$root/Cargo.lock"
}

# The tool must be of the very version of the library that the page is built with.
need_wasm_bindgen() {
  need_rust
  local wanted
  wanted=$(locked_version wasm-bindgen)
  [ -n "$wanted" ] || fail "Cargo.lock names no wasm-bindgen: is this a whole clone?"
  if ! has wasm-bindgen-test-runner || [ "$(wasm-bindgen --version 2>/dev/null)" != "wasm-bindgen $wanted" ]; then
    say "Installing with cargo (some minutes): wasm-bindgen-cli $wanted"
    cargo_install wasm-bindgen-cli --version "$wanted" >&2 ||
      fail "wasm-bindgen-cli $wanted could not be installed: see cargo's message above."
  fi
}

need_trunk() {
  need_rust
  case $(trunk --version 2>/dev/null) in
    "trunk ${trunk_version%.*}."*) ;;
    *)
      say "Installing with cargo (some minutes): trunk $trunk_version"
      cargo_install trunk --version "$trunk_version" --locked --no-default-features --features rustls --profile dev >&2 ||
        fail "trunk $trunk_version could not be installed: see cargo's message above."
      ;;
  esac
}

# Answers 1 when it can't be had: the page then works without it, larger and slower.
need_wasm_opt() {
  if has wasm-opt; then return 0; fi
  if ! has npm; then
    apt_install nodejs npm || return 1
  fi
  say "Installing with npm: binaryen $binaryen_version (for wasm-opt)"
  if [ -w "$(npm prefix -g)" ]; then
    npm install -g --no-fund --no-audit "binaryen@$binaryen_version" >&2 || return 1
  else
    npm install -g --no-fund --no-audit --prefix "$HOME/.local" "binaryen@$binaryen_version" >&2 || return 1
  fi
  has wasm-opt
}

# Answers 1 when it can't be had: the page is then in one file, slower to load.
need_wasm_split() {
  if has wasm-split-cli; then return 0; fi
  say "Installing with cargo (some minutes): wasm_split_cli_support $wasm_split_version"
  cargo_install --locked wasm_split_cli_support --version "$wasm_split_version" --features build-binary >&2
}

need_browser() {
  if has chromedriver && { has chromium || has chromium-browser || has google-chrome; }; then return 0; fi
  apt_update_once chromium chromium-driver
  if apt_has chromium && apt_has chromium-driver; then
    apt_install chromium chromium-driver fonts-dejavu-core
  else
    apt_install chromium-browser chromium-chromedriver fonts-dejavu-core
  fi || true
  has chromedriver || fail "Chromium and its driver could not be installed: install them by hand, then start again."
}

# What draws, reads and takes apart the prints that the checks make.
need_pdf_tools() {
  local missing=()
  if ! has pdftoppm || ! has pdftotext; then missing+=(poppler-utils); fi
  if ! has qpdf; then missing+=(qpdf); fi
  [ ${#missing[@]} -gt 0 ] || return 0
  apt_install "${missing[@]}" || fail "Could not be installed: ${missing[*]}. Install them by hand, then start again."
}

need_page_tools() {
  need_wasm_target
  need_wasm_bindgen
  need_trunk
  # With release unset trunk leaves wasm-opt out; the cargo profile stays the page's own.
  export TRUNK_BUILD_CARGO_PROFILE=page TRUNK_BUILD_RELEASE=true
  if ! (need_wasm_opt); then
    say "wasm-opt could not be had from npm: building without it, so the page is larger and slower."
    export TRUNK_BUILD_RELEASE=false
  fi
  if (need_wasm_split); then
    export TRUNK_BUILD_FEATURES=parts
  else
    say "wasm-split-cli could not be had from crates.io: building the page in one file, which is larger to load."
  fi
  cargo fetch --manifest-path "$root/Cargo.toml" --target wasm32-unknown-unknown ${CI:+--locked} >&2
}

build_page() { trunk build --config "$root/Trunk.toml" --dist "$site_dir"; }
