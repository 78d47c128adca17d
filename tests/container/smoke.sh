#!/usr/bin/env bash
# Build the image without a network, run it and the compose file in a container engine of its own, and check both.
# What it needs and which variables it reads stands in engine.sh.
set -euo pipefail
# shellcheck source=engine.sh
. "$(dirname "${BASH_SOURCE[0]}")/engine.sh"

readonly single=$repository/docker/compose.single.yaml

# --- the checks

is_small() { [ "$(megabytes "$image")" -lt 220 ] || { say "$(megabytes "$image") MB"; return 1; }; }

label() { inspect "{{index .Config.Labels \"org.opencontainers.image.$1\"}}" "$image"; }

labels_are_right() {
  is_equal "$(label title)" closeup-optics && is_equal "$(label licenses)" MIT &&
    is_equal "$(label version)" "$(version)" && is_equal "$(label base.name)" "$base" &&
    is_equal "$(label source)$(label revision)" "" && [ -n "$(label description)" ]
}

plain() { timeout 30 docker run --rm --interactive --network none "$@"; }

hashes() { # image: every file and its hash, but for those that the engine puts in
  plain --user 0 "$1" python - <<'PYTHON'
import hashlib
import os

for folder, folders, names in os.walk("/"):
    if folder == "/":
        folders[:] = sorted(set(folders) - {"proc", "sys", "dev"})
    folders.sort()
    for path in (os.path.join(folder, name) for name in sorted(names)):
        if os.path.isfile(path) and not os.path.islink(path) and path not in ("/etc/hostname", "/etc/hosts", "/etc/resolv.conf", "/.dockerenv"):
            with open(path, "rb") as file:
                print(hashlib.sha256(file.read()).hexdigest(), oct(os.lstat(path).st_mode), path)
PYTHON
}

builds_alike() {
  build again --no-cache >"$work/again.log" 2>&1 || { tail -n 20 "$work/again.log"; return 1; }
  hashes "$image" >"$work/first.txt"
  hashes again >"$work/second.txt"
  [ "$(wc -l <"$work/first.txt")" -gt 1000 ] && diff "$work/first.txt" "$work/second.txt"
}

lends_no_rights() { is_equal "$(plain --user 0 "$image" find / -xdev -type f -perm /6000)" ""; }

holds_no_tools() {
  plain "$image" python - <<'PYTHON'
import importlib.util
import shutil
import sys

found = [name for name in ("perl", "apt-get", "pip", "useradd", "cc") if shutil.which(name)]
found += [name for name in ("pip", "ensurepip", "numpy.f2py") if importlib.util.find_spec(name)]
sys.exit(f"found {found}" if found else 0)
PYTHON
}

parts_list() { plain --entrypoint cat "$image" /opt/closeup/sbom.cdx.json; }

parts_list_is_valid() { # by the builder's own tool, against the published schema
  build builder --target builder >"$work/builder.log" 2>&1 || { tail "$work/builder.log"; return 1; }
  parts_list >"$work/sbom.json"
  plain builder /tools/bin/python -c '
import json, sys
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
text = sys.stdin.read()
version = SchemaVersion.from_version(json.loads(text)["specVersion"])
sys.exit(str(JsonStrictValidator(version).validate_str(text) or "") or 0)' <"$work/sbom.json"
}

parts_list_is_true() {
  plain "$image" python - <<'PYTHON'
import json
import re
import sys
from importlib.metadata import distributions


def plain(name):
    return re.sub("[-_.]+", "-", name).lower()


with open("/opt/closeup/sbom.cdx.json") as file:
    document = json.load(file)
main = document["metadata"]["component"]
listed = {plain(part["name"]): part["version"] for part in [*document["components"], main]}
installed = {plain(one.name): one.version for one in distributions()}
dated = "serialNumber" in document or "timestamp" in document["metadata"]
if listed != installed or len(listed) < 10 or dated:
    sys.exit(f"listed {listed}\ninstalled {installed}\ndated {dated}")
PYTHON
}

answers_every_example() {
  timeout 60 docker run --rm --network container:alone --volume "$repository/tests:/tests:ro" \
    --env PYTHONPATH=/tests/support "$image" python /tests/container/examples.py 127.0.0.1:8000
}

starts_no_program() { # only its own processes, each the same program
  is_equal "$(docker top alone -o pid,comm | awk 'NR > 1 {print $2}' | sort -u | xargs)" closeup-service
}

ends_with() { # exit code, words of its one line, arguments...: a start that is refused, with nothing but /dev/shm to write to
  local code=$1 words=$2 found=0 output
  shift 2
  output=$(timeout 20 docker run --rm --read-only "$@" 2>&1) || found=$?
  output=$(grep -v '^WARNING: IPv4 forwarding' <<<"$output")
  say "$output"
  is_equal "$found with $(wc -l <<<"$output") line" "$code with 1 line" && grep -qF -- "$words" <<<"$output"
}

kit_is_served() { # as another user, from a folder that cannot be written
  mkdir "$work/kit"
  cp "$repository/service/closeup_service/gear/data/demo_kit.json" "$work/kit/kit.json"
  chmod a+rx "$work" "$work/kit" # the first is made for its owner alone
  docker run --detach --name studio --network none --read-only --tmpfs /tmp --cap-drop ALL --user 54321:54321 \
    --security-opt no-new-privileges --health-interval 1s --env CLOSEUP_KIT=/etc/closeup/kit/kit.json \
    --volume "$work/kit:/etc/closeup/kit:ro" "$image" &&
    becomes healthy studio 20 &&
    inside studio python -c 'import json, os, urllib.request as r
assert os.getuid() == 54321
assert json.load(r.urlopen("http://127.0.0.1:8000/v1/kit", timeout=5))["origin"] == "file"'
}

kit_is_read_again() { # after an editor has put another file in its place
  local _
  sed 's/"name": "/&Another /' "$work/kit/kit.json" >"$work/kit/kit.json.new"
  mv "$work/kit/kit.json.new" "$work/kit/kit.json"
  docker kill --signal HUP studio >/dev/null
  for _ in $(seq 100); do
    [ "$(docker logs studio 2>&1 | grep -c '"message":"Kit: /etc/closeup/kit/kit.json, revision ')" != 2 ] || break
    sleep 0.1
  done
  for _ in $(seq 100); do
    ! inside studio python -c 'import json, urllib.request as r
assert json.load(r.urlopen("http://127.0.0.1:8000/v1/kit", timeout=5))["kit"]["name"].startswith("Another ")' || return 0
    sleep 0.1
  done
  docker logs --tail 20 studio
  return 1
}

is_ended_at_its_memory_limit() {
  local found=0
  docker run --name greedy --network none --memory 64m --memory-swap 64m "$image" \
    python -c 'bytearray(200 << 20)' || found=$?
  is_equal "$found $(inspect '{{.State.OOMKilled}}' greedy)" "137 true"
}

makes_no_more_processes_than_its_limit() {
  plain --pids-limit 20 "$image" python -c 'import os, sys, time
for made in range(100):
    try:
        if os.fork() == 0:
            time.sleep(5)
            os._exit(0)
    except BlockingIOError:
        sys.exit(0 if 10 < made < 20 else f"{made} made")
sys.exit("all 100 made")'
}

address_on_bridge() { echo "$(inspect '{{range .NetworkSettings.Networks}}{{.IPAddress}}{{end}}' "$1"):8000"; }

starts() { # container: milliseconds from a start with everything in the machine's memory to the first answer
  local started
  docker stop "$1" >/dev/null
  started=$(milliseconds)
  docker start "$1" >/dev/null
  until timeout 1 bash -c "exec 3<>/dev/tcp/$(address_on_bridge "$1" | tr : /) && printf 'GET /healthz HTTP/1.0\r\nHost: x\r\n\r\n' >&3 && grep -q ' 200 ' <&3" 2>/dev/null; do
    [ $(($(milliseconds) - started)) -lt 20000 ] || return 1
    sleep 0.02
  done
  echo $(($(milliseconds) - started)) >"$work/start_ms.txt"
}

ends_its_work() { timeout 60 python3 "$repository/tests/container/in_flight.py" "$(address_on_bridge "$1")" "$1"; }

ended_well() { is_equal "$(timeout 25 docker wait "$1")" 0 || { docker logs --tail 20 "$1"; return 1; }; }

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
  check "it is smaller than 220 MB" is_small
  check "its labels state what it is, and the version of the project" labels_are_right
  check "built again without a cache it holds the same files" builds_alike
  check "no file in it lends its owner's rights" lends_no_rights
  check "no package manager, Perl, compiler or tool for accounts is in it" holds_no_tools
  check "its list of parts is valid" parts_list_is_valid
  check "its list of parts names what is installed, and no date" parts_list_is_true

  started=$(milliseconds)
  check "a container without network, privileges and writable root starts" run_alone
  check "it becomes healthy" becomes healthy alone 30
  say "        in $(($(milliseconds) - started)) ms"
  check "it serves as a user of its own with a number over 10000" serves_as_own_user
  check "its root is read-only, even for root" root_is_read_only
  check "it answers a set-up with the published numbers" answers_inside
  check "it answers every documented example and page" answers_every_example
  check "it starts no program but itself" starts_no_program
  check "it runs as any user, with a kit that is mounted read-only" kit_is_served
  check "on SIGHUP it reads the kit that an editor put in its place" kit_is_read_again
  check "a wrong setting ends it with one line and code 78" ends_with 78 CLOSEUP_PORT --network none --env CLOSEUP_PORT=many "$image"
  check "a kit that cannot be read does too" ends_with 78 CLOSEUP_KIT --network none --env CLOSEUP_KIT=/none.json "$image"
  check "a port in use ends it with one line and code 69" ends_with 69 "in use" --network container:alone "$image"
  check "no place to write to ends it with one line and code 73" ends_with 73 "no place for the counts" --network none --ipc none "$image"
  check "it is ended at its memory limit" is_ended_at_its_memory_limit
  check "it makes no more processes than its limit" makes_no_more_processes_than_its_limit
  check "the health check notices a hang, and its end" hang_is_noticed
  check "SIGTERM ends it within 15 s with exit code 0" ends_on_signal

  CLOSEUP_PORT=$(free_port)
  export CLOSEUP_PORT
  check "the compose file starts it" compose "$single" up --detach --no-build
  check "it becomes healthy there too" becomes healthy "$(composed closeup)" 40
  check "it is confined as the compose file says" is_confined
  check "it is published on the loopback address alone" is_published_here_only
  check "it answers there" timeout 15 python3 "$repository/tests/container/ask.py" "127.0.0.1:$CLOSEUP_PORT"
  check "it starts again" starts "$(composed closeup)"
  say "        first answer after $(cat "$work/start_ms.txt") ms, the engine's share included"
  check "SIGTERM lets a request end and answers nobody new" ends_its_work "$(composed closeup)"
  check "the compose file takes it down" compose "$single" down
  say "ended after $SECONDS s"
}

main
