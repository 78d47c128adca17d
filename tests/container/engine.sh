#!/usr/bin/env bash
# A container engine of one script's own, and the image built in it without a network. To be sourced, by bash, after
#   set -euo pipefail
# For a Debian machine, as root; it installs what it lacks, and takes away all that was started or made when the script
# ends, however it ends. Two such scripts may run at once.
#
# CLOSEUP_BASE_IMAGE  base image to build on (default python:3.13-slim)
# CLOSEUP_MAKE_BASE   a script that makes a base image, called with the tag it is to have
#
# It offers, besides the functions below that say so:
#   $repository  top of the repository          $work    folder that is taken away at the end
#   $image       tag of the image               $base    tag of the base, once prepared
#   $mark        name for whatever wants one    $bridge  name for a network's interface; one more letter may follow it
#   $context     what the image is built from
# Interfaces named so, containers, networks and mounts need no cleaning up by the script.

readonly image=closeup-optics
readonly mark=closeup-test-$$
readonly bridge=cu-br$$
readonly sibling_script=../shared/tools/make_base.sh
repository=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
work=$(mktemp -d)
context=$work/context
passed=0 failed=0

say() { printf '%s\n' "$*"; }
milliseconds() { date +%s%3N; }

check() { # sentence, command...: run the command and count
  local sentence=$1 output
  shift
  if output=$("$@" 2>&1); then
    passed=$((passed + 1)); say "ok      $sentence"
  else
    failed=$((failed + 1)); say "FAILED  $sentence"; say "$output" | tail -n 40 | sed 's/^/        /'
  fi
}

give_up() { failed=$((failed + 1)); say "FAILED  $1"; exit 1; }

# --- taking everything away again

stop_process() { # pid: ask, wait, insist
  local pid=$1
  kill -TERM "$pid" 2>/dev/null || return 0
  for _ in $(seq 100); do
    kill -0 "$pid" 2>/dev/null || return 0
    sleep 0.2
  done
  kill -KILL "$pid" 2>/dev/null || true
}

remove_containers() {
  local ids
  ids=$(timeout 20 docker ps -aq 2>/dev/null) || return 0
  # shellcheck disable=SC2086  # several words
  [ -z "$ids" ] || timeout 60 docker rm -f $ids >/dev/null 2>&1 || true
  timeout 20 docker network prune -f >/dev/null 2>&1 || true
}

stop_engine() {
  local file
  [ -z "${engine_pid:-}" ] || { remove_containers; stop_process "$engine_pid"; }
  for file in "$work/engine.pid" "$work/exec/containerd/containerd.pid"; do # only there if the engine was cut off
    [ ! -s "$file" ] || stop_process "$(cat "$file")"
  done
}

unmount_all() {
  local target
  awk '{print $2}' /proc/self/mounts | { grep -F "$work/" || true; } | sort -r | while read -r target; do
    umount -l "$target" || true
  done
}

clean_up() {
  local status=$? interface
  trap - EXIT INT TERM
  set +e
  [ ! -e "$work/policy-rc.d-is-ours" ] || rm -f /usr/sbin/policy-rc.d
  stop_engine
  unmount_all
  for interface in /sys/class/net/"$bridge"*; do
    [ ! -e "$interface" ] || ip link delete "${interface##*/}"
  done
  find /sys/fs/cgroup -depth -type d \( -path "*/$mark" -o -path "*/$mark/*" \) -exec rmdir {} + 2>/dev/null
  rm -rf --one-file-system "$work"
  [ "$status" -eq 0 ] || [ "$failed" -gt 0 ] || { failed=1; say "FAILED  ended early with exit code $status"; }
  say "$passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
  exit $?
}
trap clean_up EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# --- what is needed

missing_packages() {
  [ -x /usr/sbin/dockerd ] || echo docker.io
  [ -x /usr/bin/docker ] || apt-cache search --names-only '^docker-cli$' | cut -d ' ' -f 1 # apart since Debian 13
  /usr/bin/docker compose version >/dev/null 2>&1 || [ -x /usr/bin/docker-compose ] || echo docker-compose
  command -v ip >/dev/null || echo iproute2
  python3 -m pip --version >/dev/null 2>&1 || echo python3 python3-pip
  [ -e /etc/ssl/certs/ca-certificates.crt ] || echo ca-certificates
  [ -z "$make_base" ] || command -v mmdebstrap >/dev/null || echo mmdebstrap
}

install_missing() {
  local packages
  [ -n "$(missing_packages)" ] || return 0
  apt-get update >"$work/apt.log" 2>&1 || { tail -n 20 "$work/apt.log"; give_up "the list of packages can be had"; }
  packages=$(missing_packages | xargs)
  say "installing: $packages"
  if [ ! -e /usr/sbin/policy-rc.d ]; then # no package is to start an engine of its own
    touch "$work/policy-rc.d-is-ours"
    printf '#!/bin/sh\nexit 101\n' >/usr/sbin/policy-rc.d
    chmod 755 /usr/sbin/policy-rc.d
  fi
  export DEBIAN_FRONTEND=noninteractive
  # shellcheck disable=SC2086  # several words
  apt-get install -y --no-install-recommends $packages >"$work/apt.log" 2>&1 ||
    { tail -n 20 "$work/apt.log"; give_up "the packages can be installed"; }
}

choose_base_script() {
  make_base=
  [ -z "${CLOSEUP_BASE_IMAGE:-}" ] || return 0
  make_base=${CLOSEUP_MAKE_BASE:-}
  if [ -z "$make_base" ] && [ -e "$repository/$sibling_script" ]; then make_base=$repository/$sibling_script; fi
}

start_engine() {
  # Published ports go through the engine's own proxy and no container needs the outside: no packet filter is touched.
  mkdir "$work/bin"
  ln -s /usr/bin/docker "$work/bin/docker"
  export PATH=$work/bin:$PATH DOCKER_HOST=unix://$work/docker.sock DOCKER_CONFIG=$work/config
  unset DOCKER_CONTEXT DOCKER_TLS_VERIFY DOCKER_BUILDKIT COMPOSE_FILE COMPOSE_PROJECT_NAME
  # What the compose files would take over from whoever runs this.
  local name
  for name in "${!CLOSEUP_@}"; do
    case $name in CLOSEUP_BASE_IMAGE | CLOSEUP_MAKE_BASE | CLOSEUP_PROXY_IMAGE) ;; *) unset "$name" ;; esac
  done
  echo '{}' >"$work/daemon.json"
  /usr/sbin/dockerd --host "$DOCKER_HOST" --config-file "$work/daemon.json" --pidfile "$work/engine.pid" \
    --data-root "$work/data" --exec-root "$work/exec" --exec-opt native.cgroupdriver=cgroupfs \
    --cgroup-parent "/$mark" --containerd-namespace "$mark" --containerd-plugins-namespace "$mark-plugins" \
    --bridge none --iptables=false --ip6tables=false --ip-forward=false --ip-masq=false >"$work/engine.log" 2>&1 &
  engine_pid=$!
  for _ in $(seq 150); do
    ! docker info >/dev/null 2>&1 || return 0
    kill -0 "$engine_pid" 2>/dev/null || break
    sleep 0.2
  done
  tail -n 20 "$work/engine.log"
  give_up "the container engine starts"
}

obtain_base() {
  base=${CLOSEUP_BASE_IMAGE:-python:3.13-slim}
  if [ -n "$make_base" ]; then
    base=closeup-base:local
    timeout 240 bash "$make_base" "$base" >"$work/base.log" 2>&1 ||
      { tail -n 20 "$work/base.log"; give_up "the base image can be made"; }
  else
    timeout 240 docker pull --quiet "$base" || give_up "the base image can be had"
  fi
}

locked() { # what both locks name, as the Python of the base image reads them, which may be another than this machine's
  docker run --rm --network none "$base" python3 -c 'import json, os, platform, sys; print(json.dumps({
    "python_version": "%d.%d" % sys.version_info[:2], "python_full_version": platform.python_version(),
    "implementation_name": sys.implementation.name, "platform_python_implementation": platform.python_implementation(),
    "os_name": os.name, "sys_platform": sys.platform, "platform_system": platform.system(),
    "platform_machine": platform.machine()}))' >"$work/target.json" 2>>"$work/pip.log"
  python3 - "$work/target.json" "$repository"/docker/{build-,}requirements.txt <<'PYTHON'
import json
import sys
from pathlib import Path

from pip._vendor.packaging.requirements import Requirement

target = json.loads(Path(sys.argv[1]).read_text())
kept = set()
for lock in sys.argv[2:]:
    for block in Path(lock).read_text().replace("\\\n", " ").splitlines():
        requirement = Requirement(block.split(" --hash")[0]) if "--hash" in block else None
        if requirement and (requirement.marker is None or requirement.marker.evaluate(target)):
            kept.add(f"{requirement.name}{requirement.specifier} --hash{block.split('--hash', 1)[1]}")
sys.stdout.write("\n".join(sorted(kept)) + "\n")
PYTHON
}

fetch_wheels() {
  locked >"$work/requirements.txt"
  timeout 180 python3 -m pip download --quiet --only-binary=:all: --no-deps --require-hashes \
    --python-version "$(sed 's/.*"python_version": "\([0-9.]*\)".*/\1/' "$work/target.json")" --dest "$context/wheels" --requirement "$work/requirements.txt" \
    >>"$work/pip.log" 2>&1 || { tail -n 20 "$work/pip.log"; give_up "the wheels can be fetched"; }
}

make_context() {
  mkdir -p "$context"
  (cd "$repository" && cp -a .dockerignore README.md pyproject.toml client service docker "$context/")
}

version() { sed -n 's/^version = "\(.*\)"/\1/p' "$repository/pyproject.toml" | head -n 1; }

free_port() { python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'; }

prepare() { # everything up to the build: packages, engine, base, context, wheels
  [ "$(id -u)" -eq 0 ] || give_up "this is run by root"
  choose_base_script
  install_missing
  start_engine
  obtain_base
  make_context
  fetch_wheels
  say "prepared after $SECONDS s"
}

# --- building and asking

build() { # tag (default $image), options of the engine's build...
  local tag=${1:-$image}
  [ $# -eq 0 ] || shift
  (cd "$context" && timeout 240 docker build --network none --file docker/Dockerfile --tag "$tag" \
    --build-arg BASE_IMAGE="$base" --build-arg PIP_NO_INDEX=1 --build-arg PIP_FIND_LINKS=/wheels \
    --build-arg VERSION="$(version)" "$@" .)
}

inspect() { docker inspect --format "$1" "$2"; }

megabytes() { echo $(($(inspect '{{.Size}}' "$1") / 1000000)); }

is_equal() { # found, expected
  [ "$1" = "$2" ] || { say "found '$1', not '$2'"; return 1; }
}

becomes() { # state of health, container, seconds
  local until=$((SECONDS + $3))
  while [ "$SECONDS" -lt "$until" ]; do
    [ "$(inspect '{{.State.Health.Status}}' "$2" 2>/dev/null)" != "$1" ] || return 0
    sleep 0.1
  done
  inspect '{{json .State}}' "$2"
  docker logs --tail 20 "$2"
  return 1
}

composing() { # arguments of compose: as project $mark, by whichever program this Debian has
  local command=(docker-compose)
  ! docker compose version >/dev/null 2>&1 || command=(docker compose)
  timeout 90 "${command[@]}" --project-name "$mark" "$@"
}

compose() { # compose file, arguments...: its default network's interface is named so that it goes
  local file=$1
  shift
  printf 'networks:\n  default:\n    driver_opts:\n      com.docker.network.bridge.name: %s\n' "$bridge" >"$work/bridge.yaml"
  composing --file "$file" --file "$work/bridge.yaml" "$@"
}

composed() { # service: its containers
  docker ps --all --quiet --filter "label=com.docker.compose.project=$mark" --filter "label=com.docker.compose.service=$1"
}
