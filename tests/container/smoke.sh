#!/usr/bin/env bash
# Build the image without a network, run it and the compose file in a container engine of its own, and check both.
# What it needs and which variables it reads stands in engine.sh.
set -euo pipefail
# shellcheck source=engine.sh
. "$(dirname "${BASH_SOURCE[0]}")/engine.sh"

readonly single=$repository/docker/compose.single.yaml

# --- the checks

label_is_version() { is_equal "$(inspect '{{index .Config.Labels "org.opencontainers.image.version"}}' "$image")" "$(version)"; }

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

is_confined() {
  local members='{{.ReadonlyRootfs}} {{.CapDrop}} {{.SecurityOpt}} {{.PidsLimit}} {{.Memory}} {{.RestartPolicy.Name}}'
  is_equal "$(inspect "{{with .HostConfig}}$members{{end}}" "$(composed closeup)")" \
    "true [ALL] [no-new-privileges:true] 128 2147483648 unless-stopped"
}

is_published_here_only() { is_equal "$(docker port "$(composed closeup)")" "8000/tcp -> 127.0.0.1:$CLOSEUP_PORT"; }

main() {
  local started
  prepare

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
  check "the compose file starts it" compose "$single" up --detach --no-build
  check "it becomes healthy there too" becomes healthy "$(composed closeup)" 40
  check "it is confined as the compose file says" is_confined
  check "it is published on the loopback address alone" is_published_here_only
  check "it answers there" timeout 15 python3 "$repository/tests/container/ask.py" "127.0.0.1:$CLOSEUP_PORT"
  check "the compose file takes it down" compose "$single" down
  say "ended after $SECONDS s"
}

main
