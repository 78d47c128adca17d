/* Keeps the pages and the last results in this browser. The service is always asked first; where it does not answer, the kept
   page is shown and says from when it is. What is posted, photographs above all, is never kept. KEPT stands before this. */
"use strict";

const SCOPE = registration.scope;
const MARK = `closeup ${SCOPE} `;
const [PAGES, RESULTS, DRAWINGS] = ["pages", "results", "drawings"].map((name) => `${MARK}${name} ${KEPT.version}`);
const MOST = { [RESULTS]: KEPT.most_results, [DRAWINGS]: KEPT.most_drawings };
const ADDRESSES = new Set(KEPT.addresses.map((address) => new URL(address, SCOPE).href));
const LANGUAGES = Object.keys(KEPT.notices);
const PREFERRED = navigator.languages.map((each) => each.slice(0, 2)).find((each) => LANGUAGES.includes(each)) ?? LANGUAGES[0];
const PATIENCE_MS = 3000;
const WHATEVER_WAS_ACCEPTED = { ignoreVary: true };

addEventListener("install", (event) => {
  skipWaiting();
  event.waitUntil(Promise.allSettled([...ADDRESSES].map((address) => fetchAndKeep(address, PAGES))));
});

addEventListener("activate", (event) => event.waitUntil(forgetOthers().then(() => clients.claim())));

addEventListener("message", (event) => {
  const address = event.data?.keep;
  if (typeof address === "string" && address.startsWith(SCOPE)) event.waitUntil(fetchAndKeep(address, RESULTS));
});

addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(SCOPE)) return;
  const place = placeOf(request);
  if (place || request.mode === "navigate") event.respondWith(answer(event, place));
});

/* The cache that a request belongs to, if it is kept at all. */
function placeOf(request) {
  if (ADDRESSES.has(inLanguage(request.url, PREFERRED))) return PAGES;
  if (request.mode === "navigate" && request.destination === "document" && new URL(request.url).search) return RESULTS;
  return request.destination === "image" ? DRAWINGS : undefined;
}

/* Pages are kept by their addresses in a language: one that states none is in that which the browser prefers. */
function inLanguage(address, language) {
  const [whole] = address.split("#");
  const stated = `${SCOPE}${language}/${whole.slice(SCOPE.length)}`;
  return ADDRESSES.has(stated) ? stated : whole;
}

const languageAt = (address) => LANGUAGES.find((each) => address.startsWith(`${SCOPE}${each}/`)) ?? PREFERRED;
const languageOf = (page) => page.headers.get("Content-Language") ?? LANGUAGES[0];

async function answer(event, place) {
  const asked = ask(event, place);
  event.waitUntil(asked.catch(() => {}));
  const kept = place && await (await caches.open(place)).match(inLanguage(event.request.url, PREFERRED), WHATEVER_WAS_ACCEPTED);
  if (!kept) return asked.catch((error) => standIn(event.request, error));
  const found = await Promise.race([asked.catch(() => undefined), patience()]);
  if (found && found.status < 500) return found;
  if (MOST[place]) event.waitUntil(keep(event.request.url, kept.clone(), place));
  return tell(kept);
}

/* A page is always asked of the service, whatever else the browser still has of it; else it could not say from when it is. */
async function ask(event, place) {
  const found = await fetch(event.request, event.request.mode === "navigate" ? { cache: "no-cache" } : {});
  if (place && mayBeKept(found, place)) event.waitUntil(keep(event.request.url, found.clone(), place));
  return found;
}

function mayBeKept(found, place) {
  const isPage = found.headers.get("Content-Type")?.startsWith("text/html");
  const isForbidden = found.headers.get("Cache-Control")?.includes("no-store");
  return found.ok && found.type === "basic" && !found.redirected && !isForbidden && (place !== RESULTS || isPage);
}

/* Keep an answer as the last of its cache; the one that was used longest ago makes room. */
async function keep(address, found, place) {
  const cache = await caches.open(place);
  const name = inLanguage(address, languageOf(found));
  await cache.delete(name, WHATEVER_WAS_ACCEPTED);
  await cache.put(name, found);
  const kept = await cache.keys();
  const tooMany = kept.length - (MOST[place] ?? kept.length);
  await Promise.all(kept.slice(0, Math.max(tooMany, 0)).map((each) => cache.delete(each, WHATEVER_WAS_ACCEPTED)));
}

async function fetchAndKeep(address, place) {
  const found = await fetch(address, { cache: "no-cache" });
  if (mayBeKept(found, place)) await keep(address, found, place);
}

async function forgetOthers() {
  const current = [PAGES, RESULTS, DRAWINGS];
  const others = (await caches.keys()).filter((name) => name.startsWith(MARK) && !current.includes(name));
  await Promise.all(others.map((name) => caches.delete(name)));
}

function patience() {
  return new Promise((resolve) => { setTimeout(resolve, PATIENCE_MS); });
}

/* The kept page, which says from when it is; what is no page stays as it was. */
async function tell(kept) {
  if (!kept.headers.get("Content-Type")?.startsWith("text/html")) return kept;
  const notice = KEPT.notices[languageOf(kept)];
  const text = (navigator.onLine ? notice.silent : notice.offline).replace("{time}", timeOf(kept, languageOf(kept)));
  const told = `<p class="notice from-memory" role="status">${text}</p>`;
  return page(kept, (await kept.text()).replace(/<main\b[^>]*>/, (tag) => `${tag}\n${told}`));
}

/* What is shown in place of a page that was not kept: which results were. */
async function standIn(request, error) {
  const language = languageAt(request.url);
  const address = `${SCOPE}${language}/offline`;
  const blank = request.mode === "navigate" && await (await caches.open(PAGES)).match(address, WHATEVER_WAS_ACCEPTED);
  if (!blank) throw error;
  const text = await blank.text();
  const results = await keptResults(language);
  return page(blank, results ? text.replace(/(<ul id="kept">)[^]*?(?=<\/ul>)/, (_, list) => list + results) : text);
}

async function keptResults(language) {
  const cache = await caches.open(RESULTS);
  const kept = await Promise.all((await cache.keys()).reverse().map(async ({ url }) => {
    const found = await cache.match(url, WHATEVER_WAS_ACCEPTED);
    if (!found) return "";
    const text = await found.text();
    return `<li><a href="${escapeText(url)}">${titleOf(text)}</a>, ${timeOf(found, language)}${sentenceOf(text)}</li>`;
  }));
  return kept.join("\n");
}

/* The title of a page without the name of the service; it is escaped already. */
function titleOf(text) {
  return (/<title>([^<]*)<\/title>/.exec(text)?.[1] ?? "").replace(/ – [^–]*$/, "");
}

/* What a result says first, on a line of its own. */
function sentenceOf(text) {
  const said = /<p class="headline">([^]*?)<\/p>/.exec(text)?.[1];
  return said ? `<br>${said}` : "";
}

function timeOf(kept, language) {
  const then = new Date(kept.headers.get("Date") ?? Date.now());
  const day = then.toDateString() === new Date().toDateString() ? {} : { day: "numeric", month: "long" };
  return then.toLocaleString(language, { ...day, hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
}

function page(kept, text) {
  const headers = new Headers(kept.headers);
  for (const name of ["Content-Encoding", "Content-Length", "ETag"]) headers.delete(name);
  return new Response(text, { status: kept.status, headers });
}

function escapeText(text) {
  return text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
