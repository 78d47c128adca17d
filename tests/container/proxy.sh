#!/usr/bin/env bash
# Run the compose file, proxy and two copies of the service, in a container engine of its own, and check it from outside.
# For a Debian machine, as root; see engine.sh.
#
# CLOSEUP_PROXY_IMAGE  image of nginx (default: that of the compose file, or where the base image is made by a script, one
#                      of this Debian's own packages)
set -euo pipefail
# shellcheck source=tests/container/engine.sh
source "$(dirname "${BASH_SOURCE[0]}")/engine.sh"

readonly tls_file=$repository/docker/compose.tls.yaml

obtain_proxy() {
  local packages=nginx-light,curl,ca-certificates
  if [ -z "${CLOSEUP_PROXY_IMAGE:-}" ] && [ -n "$make_base" ]; then
    export CLOSEUP_PROXY_IMAGE=closeup-nginx:local
    timeout 240 mmdebstrap --quiet --variant=minbase --include="$packages" --dpkgopt='path-exclude=/usr/share/doc/*' \
      "$(. /etc/os-release && echo "$VERSION_CODENAME")" "$work/nginx.tar" "$(sources)" >"$work/nginx.log" 2>&1 ||
      { tail -n 20 "$work/nginx.log"; give_up "an image of nginx can be made"; }
    docker import "$work/nginx.tar" "$CLOSEUP_PROXY_IMAGE" >/dev/null
    rm "$work/nginx.tar"
  fi
}

sources() {
  local file=/etc/apt/sources.list.d/debian.sources
  [ -e "$file" ] || file=/etc/apt/sources.list
  echo "$file"
}

write_files() { # the compose file, but for interfaces that go with the engine; health asked more often
  sed -e "s/^    internal: true$/&\n    driver_opts: {com.docker.network.bridge.name: ${bridge}i}/" \
    -e "s/^  outer: {}$/  outer:\n    driver_opts: {com.docker.network.bridge.name: ${bridge}o}/" \
    "$repository/docker/compose.yaml" >"$work/compose.yaml"
  printf '  %s: {healthcheck: {interval: 1s}}\n' closeup-a closeup-b proxy | sed '1i services:' >"$work/overlay.yaml"
}

together() { # arguments of compose
  composing --project-directory "$repository/docker" "${files[@]}" --file "$work/overlay.yaml" "$@"
}

all_healthy() {
  local service
  for service in closeup-a closeup-b proxy; do becomes healthy "$(composed "$service")" 40 || return 1; done
}

status() { # path, more arguments of curl: the status of an answer
  local path=$1
  shift
  curl --silent --output /dev/null --max-time 15 --write-out '%{http_code}' "$@" "http://127.0.0.1:$CLOSEUP_PORT$path"
}

is_confined() { # service, pids, memory
  local members='{{.ReadonlyRootfs}} {{.CapDrop}} {{.SecurityOpt}} {{.PidsLimit}} {{.Memory}} {{.RestartPolicy.Name}}'
  is_equal "$(inspect "{{with .HostConfig}}$members{{end}}" "$(composed "$1")")" \
    "true [ALL] [no-new-privileges:true] $2 $3 unless-stopped"
}

runs_unprivileged() { # service: every process has a user over 10000
  local user
  for user in $(docker top "$(composed "$1")" -eo uid,pid | awk 'NR > 1 {print $1}'); do
    [ "$user" -gt 10000 ] || { say "user $user"; return 1; }
  done
}

is_published_here_only() { is_equal "$(docker port "$(composed proxy)")" "8080/tcp -> 127.0.0.1:$CLOSEUP_PORT"; }

copies_are_within() { # unpublished, and on a network that leads nowhere
  local service
  for service in closeup-a closeup-b; do
    is_equal "$(docker port "$(composed "$service")")" "" || return 1
    # shellcheck disable=SC2016  # a template of the engine
    is_equal "$(inspect '{{range $name, $_ := .NetworkSettings.Networks}}{{$name}} {{end}}' "$(composed "$service")")" "${mark}_inner " || return 1
  done
  is_equal "$(docker network inspect --format '{{.Internal}}' "${mark}_inner")" true
}

root_is_read_only() {
  local place
  for place in / /etc/closeup/proxy/ /var/log/; do
    ! docker exec --user 0 "$(composed proxy)" touch "${place}written" 2>/dev/null || { say "$place can be written"; return 1; }
  done
}

under_load() { # command...: run it while clients ask without a pause; none of them may fail
  local load status=0
  python3 "$repository/tests/container/load.py" "127.0.0.1:$CLOSEUP_PORT" >"$work/load" &
  load=$!
  sleep 1
  "$@" || status=1
  sleep 1
  kill -TERM "$load"
  wait "$load" || status=1
  cat "$work/load"
  return "$status"
}

lose_a_copy() {
  docker kill "$(composed closeup-a)" >/dev/null
  sleep 3
  together up --detach --no-build --no-deps closeup-a && becomes healthy "$(composed closeup-a)" 40
}

roll() {
  local service before
  for service in closeup-a closeup-b; do
    before=$(composed "$service")
    together up --detach --no-build --no-deps --force-recreate "$service" || return 1
    becomes healthy "$(composed "$service")" 40 || return 1
    [ "$(composed "$service")" != "$before" ] || { say "$service is still the old one"; return 1; }
  done
}

make_certificate() {
  mkdir "$work/certificate"
  openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=localhost -keyout "$work/certificate/privkey.pem" \
    -out "$work/certificate/fullchain.pem" 2>/dev/null
  chmod 755 "$work" "$work/certificate"
  chown 10002 "$work/certificate/privkey.pem"
}

answers_encrypted() {
  is_equal "$(curl --silent --cacert "$work/certificate/fullchain.pem" --max-time 15 \
    "https://localhost:$CLOSEUP_TLS_PORT/healthz")" '{"status":"pass"}'
}

missing_file_is_one_line() {
  local code=0
  mv "$work/certificate/privkey.pem" "$work/kept.pem"
  together run --rm --no-deps -T proxy >"$work/missing" 2>&1 || code=$?
  mv "$work/kept.pem" "$work/certificate/privkey.pem"
  [ "$code" -ne 0 ] || { say "exit code 0"; return 1; }
  is_equal "$(grep -c 'privkey.pem.*No such file' "$work/missing")" 1 || { cat "$work/missing"; return 1; }
}

main() {
  files=(--file "$work/compose.yaml")
  prepare
  obtain_proxy
  write_files
  CLOSEUP_PORT=$(free_port)
  CLOSEUP_TLS_PORT=$(free_port)
  CLOSEUP_TLS_FOLDER=$work/certificate
  export CLOSEUP_PORT CLOSEUP_TLS_PORT CLOSEUP_TLS_FOLDER
  unset CLOSEUP_BIND
  check "the image is built without a network" build

  check "the compose file starts two copies and the proxy" together up --detach --no-build
  check "all three become healthy" all_healthy
  check "the proxy passes on a set-up with the published numbers" \
    timeout 15 python3 "$repository/tests/container/ask.py" "127.0.0.1:$CLOSEUP_PORT"
  check "it hides the metrics" is_equal "$(status /metrics)" 404
  check "it is published on the loopback address alone" is_published_here_only
  check "the copies are not published, and on a network without a way out" copies_are_within
  check "the copies are confined" is_confined closeup-a 128 2147483648
  check "the proxy is confined" is_confined proxy 32 805306368
  check "the proxy runs as a user of its own with a number over 10000" runs_unprivileged proxy
  check "its root is read-only, even for root" root_is_read_only
  check "a photograph of 39 MB passes, to be refused for what it is" is_equal "$(big_photograph)" 422

  check "a copy is killed and comes back, and no request fails" under_load lose_a_copy
  say "        $(head -n 1 "$work/load")"
  check "both copies are replaced one by one, and no request fails" under_load roll
  say "        $(head -n 1 "$work/load")"

  make_certificate
  files+=(--file "$tls_file")
  check "with a certificate the proxy starts anew" together up --detach --no-build --no-deps proxy
  check "it becomes healthy" becomes healthy "$(composed proxy)" 40
  check "it answers encrypted" answers_encrypted
  check "the plain port leads there" is_equal "$(status /healthz)" 308
  check "a missing file of the certificate is one clear line and an exit code" missing_file_is_one_line
  check "the compose file takes all down" together down
  say "ended after $SECONDS s"
}

big_photograph() {
  head -c 39000000 /dev/zero >"$work/photograph"
  status /v1/scale-reading/photo --form tick_pitch_mm=1 --form "photo=@$work/photograph"
}

main
