#!/usr/bin/env bash
# Build the image without a network, run it and the compose file in a container engine of its own, and check both.
# For a Debian machine, as root; it installs what it lacks and takes away everything it started or made.
#
# CLOSEUP_BASE_IMAGE  base image to build on (default python:3.13-slim)
# CLOSEUP_MAKE_BASE   a script that makes a base image, called with the tag it is to have
set -euo pipefail

readonly image=closeup-optics
readonly mark=closeup-smoke-$$
readonly bridge=cu-smoke$$
readonly sibling_script=../shared/tools/make_base.sh
repository=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
work=$(mktemp -d)
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
  local status=$?
  trap - EXIT INT TERM
  set +e
  [ ! -e "$work/policy-rc.d-is-ours" ] || rm -f /usr/sbin/policy-rc.d
  stop_engine
  unmount_all
  ip link delete "$bridge" 2>/dev/null
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
  unset CLOSEUP_WORKERS CLOSEUP_THREADS
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

requirements() { # what the wheel needs to be built and to serve
  python3 - "$repository/pyproject.toml" <<'PYTHON'
import sys
import tomllib

with open(sys.argv[1], "rb") as file:
    data = tomllib.load(file)
project = data["project"]
needed = data["build-system"]["requires"] + project["dependencies"] + project["optional-dependencies"]["service"]
sys.stdout.write("\n".join(needed) + "\n")
PYTHON
}

fetch_wheels() { # for the Python of the base image, which may be another than this machine's
  local python
  python=$(docker run --rm --network none "$base" python3 -c 'import sys; print("%d.%d" % sys.version_info[:2])')
  requirements >"$work/requirements.txt"
  timeout 180 python3 -m pip download --quiet --only-binary=:all: --python-version "$python" \
    --dest "$work/context/wheels" --requirement "$work/requirements.txt" >"$work/pip.log" 2>&1 ||
    { tail -n 20 "$work/pip.log"; give_up "the wheels can be fetched"; }
}

make_context() {
  mkdir -p "$work/context"
  (cd "$repository" && cp -a .dockerignore README.md pyproject.toml client service docker "$work/context/")
}

version() { sed -n 's/^version = "\(.*\)"/\1/p' "$repository/pyproject.toml" | head -n 1; }

free_port() { python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'; }

# --- the checks

build() {
  (cd "$work/context" && timeout 240 docker build --network none --file docker/Dockerfile --tag "$image" \
    --build-arg BASE_IMAGE="$base" --build-arg PIP_NO_INDEX=1 --build-arg PIP_FIND_LINKS=/wheels \
    --build-arg VERSION="$(version)" .)
}

inspect() { docker inspect --format "$1" "$2"; }

megabytes() { echo $(($(inspect '{{.Size}}' "$1") / 1000000)); }

is_equal() { # found, expected
  [ "$1" = "$2" ] || { say "found '$1', not '$2'"; return 1; }
}

label_is_version() { is_equal "$(inspect '{{index .Config.Labels "org.opencontainers.image.version"}}' "$image")" "$(version)"; }

becomes() { # state of health, container, seconds
  local until=$((SECONDS + $3))
  while [ "$SECONDS" -lt "$until" ]; do
    [ "$(inspect '{{.State.Health.Status}}' "$2")" != "$1" ] || return 0
    sleep 0.1
  done
  inspect '{{json .State}}' "$2"
  docker logs --tail 20 "$2"
  return 1
}

run_alone() { # the image's own health check, asked more often
  docker run --detach --name alone --network none --read-only --tmpfs /tmp --cap-drop ALL --memory 512m \
    --security-opt no-new-privileges --pids-limit 128 --health-interval 1s --health-retries 2 "$image"
}

inside() { timeout 15 docker exec -i "$@"; }

serves_as_own_user() {
  local user
  user=$(inside alone python -c 'import os; print(os.stat("/proc/1").st_uid)')
  [ "$user" -gt 10000 ] || { say "uid $user"; return 1; }
}

root_is_read_only() { # even for root
  inside --user 0 alone python - <<'PYTHON'
import errno
import sys

for place in ("/", "/opt/closeup/", "/usr/local/lib/"):
    try:
        open(place + "written", "w").close()
    except OSError as error:
        if error.errno == errno.EROFS:
            continue
        sys.exit(f"{place}: {error}")
    sys.exit(f"{place} can be written")
PYTHON
}

answers_inside() { inside alone python - 127.0.0.1:8000 <"$repository/tests/container/ask.py"; }

signal_all() { # signal, container: from outside, since inside the first process is protected
  docker top "$2" -o pid | tail -n +2 | xargs kill "-$1"
}

hang_is_noticed() {
  local noticed=yes
  signal_all STOP alone
  becomes unhealthy alone 25 || noticed=no
  signal_all CONT alone
  becomes healthy alone 10 && [ "$noticed" = yes ]
}

ends_on_signal() {
  docker kill --signal TERM alone >/dev/null
  is_equal "$(timeout 15 docker wait alone)" 0 || { docker logs --tail 20 alone; return 1; }
}

compose() {
  local command=(docker-compose)
  ! docker compose version >/dev/null 2>&1 || command=(docker compose)
  timeout 90 "${command[@]}" --project-name "$mark" --file "$repository/docker/compose.yaml" \
    --file "$work/bridge.yaml" "$@"
}

compose_up() {
  printf 'networks:\n  default:\n    driver_opts:\n      com.docker.network.bridge.name: %s\n' "$bridge" >"$work/bridge.yaml"
  compose up --detach --no-build
}

composed() { docker ps --all --quiet --filter "label=com.docker.compose.project=$mark"; }

is_confined() {
  local members='{{.ReadonlyRootfs}} {{.CapDrop}} {{.SecurityOpt}} {{.PidsLimit}} {{.Memory}} {{.RestartPolicy.Name}}'
  is_equal "$(inspect "{{with .HostConfig}}$members{{end}}" "$(composed)")" \
    "true [ALL] [no-new-privileges:true] 128 2147483648 unless-stopped"
}

is_published_here_only() { is_equal "$(docker port "$(composed)")" "8000/tcp -> 127.0.0.1:$CLOSEUP_PORT"; }

main() {
  local started
  [ "$(id -u)" -eq 0 ] || give_up "this is run by root"
  choose_base_script
  install_missing
  start_engine
  obtain_base
  make_context
  fetch_wheels
  say "prepared after $SECONDS s"

  started=$(milliseconds)
  check "the image is built without a network" build
  say "        in $(($(milliseconds) - started)) ms, $(megabytes "$image") MB on a base of $(megabytes "$base") MB"
  check "its label states the version of the project" label_is_version

  started=$(milliseconds)
  check "a container without network, privileges and writable root starts" run_alone
  check "it becomes healthy" becomes healthy alone 30
  say "        in $(($(milliseconds) - started)) ms"
  check "it serves as a user of its own with a number over 10000" serves_as_own_user
  check "its root is read-only, even for root" root_is_read_only
  check "it answers a set-up with the published numbers" answers_inside
  check "the health check notices a hang, and its end" hang_is_noticed
  check "SIGTERM ends it within 15 s with exit code 0" ends_on_signal

  CLOSEUP_PORT=$(free_port)
  export CLOSEUP_PORT
  check "the compose file starts it" compose_up
  check "it becomes healthy there too" becomes healthy "$(composed)" 40
  check "it is confined as the compose file says" is_confined
  check "it is published on the loopback address alone" is_published_here_only
  check "it answers there" timeout 15 python3 "$repository/tests/container/ask.py" "127.0.0.1:$CLOSEUP_PORT"
  check "the compose file takes it down" compose down
  say "ended after $SECONDS s"
}

main
