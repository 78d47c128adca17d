// Comfort alone; every page works without. The page is asked for again as its form changes, and laid over the one shown.
"use strict";

const WAIT_MS = 30; // for what comes within one breath of typing
const PATIENCE_MS = 400; // an older question is given up for a newer one
const HUSH_MS = 700; // until a screen reader is told, so that it is not told every key
const RETRY_MS = 1500;

const isAdded = (node) => node.dataset?.added !== undefined;

// ---- One tree laid over another: what is alike stays, with its focus, its selection and what is unfolded.

function keyOf(node) {
  const first = node.nodeName === "DIV" ? node.firstElementChild : null;
  return node.id || first?.htmlFor || first?.id || "";
}

function areAlike(shown, fresh) {
  if (shown.nodeName !== fresh.nodeName) return false;
  if (shown.nodeType !== Node.ELEMENT_NODE) return true;
  return keyOf(shown) === keyOf(fresh) && shown.type === fresh.type && shown.classList[0] === fresh.classList[0];
}

function lay(fresh, shown) {
  if (shown.nodeType !== Node.ELEMENT_NODE) {
    if (shown.data !== fresh.data) shown.data = fresh.data;
    return;
  }
  layAttributes(fresh, shown);
  layChildren([...fresh.childNodes], shown);
  layValue(fresh, shown);
}

function layAttributes(fresh, shown) {
  const kept = (name) => name === "open" || name === "aria-busy" || (name === "hidden" && shown.matches(".slide"));
  for (const { name } of [...shown.attributes]) if (!kept(name) && !fresh.hasAttribute(name)) shown.removeAttribute(name);
  for (const { name, value } of fresh.attributes) {
    if (!kept(name) && shown.getAttribute(name) !== value) shown.setAttribute(name, value);
  }
  if (shown.nodeName === "DETAILS" && fresh.querySelector(".wrong")) shown.open = true;
}

function layValue(fresh, shown) {
  if (shown.type === "checkbox") shown.checked = fresh.checked;
  else if (shown.nodeName === "SELECT" && shown.dataset.quiet === undefined) shown.value = fresh.value;
  else if (shown.matches("input[type=text], textarea") && shown !== document.activeElement) shown.value = fresh.value;
}

function layChildren(fresh, parent) {
  let shown = parent.firstChild;
  fresh.forEach((child, place) => {
    while (shown && (isAdded(shown) || !areAlike(shown, child))) {
      const current = shown;
      if (!isAdded(current) && current.nodeType === Node.ELEMENT_NODE && fresh.slice(place + 1).some((later) => areAlike(current, later))) break;
      shown = shown.nextSibling;
      if (!isAdded(current)) current.remove();
    }
    if (shown && areAlike(shown, child)) {
      const current = shown;
      shown = shown.nextSibling;
      lay(child, current);
    } else parent.insertBefore(document.importNode(child, true), shown);
  });
  while (shown) {
    const current = shown;
    shown = shown.nextSibling;
    if (!isAdded(current)) current.remove();
  }
}

// ---- What a form would send, and whether it is followed.

const isFollowed = (form) => form?.matches?.(".asking form") && !form.querySelector('[type="file"]') && form.dataset.still === undefined;

function entriesOf(form, button) {
  const sent = new URLSearchParams();
  for (const field of form.elements) {
    const text = field.name && field.type !== "submit" ? field.value.trim() : "";
    const isQuiet = field.dataset.quiet !== undefined && field.dataset.quiet !== button?.value;
    const isSame = field.dataset.was && form.elements[field.dataset.was]?.value === text;
    const isLeftOut = field.type === "checkbox" && !field.checked;
    if (text && !isQuiet && !isSame && !isLeftOut) sent.append(field.name, text);
  }
  if (button?.name) sent.append(button.name, button.value);
  return sent;
}

// A field may be called as a property of its form: what the form itself states is in its attributes.
const isPosted = (form) => form.getAttribute("method") === "post";
const questionOf = (form, entries) => ({ form, entries, url: form.getAttribute("action").split("?")[0], body: String(entries) });

function send({ form, entries, url, body }, signal) {
  const asked = { signal, headers: { Accept: "text/html" } };
  if (!isPosted(form)) return fetch(body ? `${url}?${body}` : url, asked);
  const sent = form.getAttribute("enctype") === "multipart/form-data" ? new FormData() : new URLSearchParams();
  for (const [name, text] of entries) sent.append(name, text);
  return fetch(url, { ...asked, method: "POST", body: sent });
}

// ---- Asking: one question at a time; the last answer wins.

let running = null;
let waiting = 0;
let retrying = 0;
let next = null;
let last = null;

function follow(form, cause, button = null) {
  clearTimeout(waiting);
  next = { form, cause, button, then: button?.dataset.then, before: partsShown() };
  tellBusy(true);
  waiting = setTimeout(ask, cause === "typed" ? WAIT_MS : 0);
}

async function ask() {
  if (!next || (running && performance.now() - running.since < PATIENCE_MS)) return;
  running?.controller.abort();
  const wanted = next;
  next = null;
  const question = questionOf(wanted.form, entriesOf(wanted.form, wanted.button));
  const mine = (running = { since: performance.now(), controller: new AbortController() });
  const answer = isKnown(wanted, question) ? last : await answerTo(question, mine.controller.signal);
  if (running !== mine) return;
  running = null;
  if (answer) show((last = { ...answer, form: wanted.form, question }), wanted);
  else retry(wanted);
  tellBusy(next || retrying);
  ask();
}

const isKnown = ({ form, button }, { body }) => !button && last?.form === form && last.question.body === body;

async function answerTo(question, signal) {
  try {
    const answer = await send(question, signal);
    const text = await answer.text();
    return answer.ok ? { url: answer.url, page: new DOMParser().parseFromString(text, "text/html") } : null;
  } catch {
    return null; // given up for a newer question, or the network failed
  }
}

function tellBusy(isBusy) {
  if (isBusy) document.querySelector("main").setAttribute("aria-busy", "true");
  else document.querySelector("main").removeAttribute("aria-busy");
}

function retry(wanted) {
  say(wanted.form.closest(".asking").dataset.retried);
  clearTimeout(retrying);
  retrying = setTimeout(() => { retrying = 0; next ??= wanted; ask(); }, RETRY_MS);
}

// ---- Showing an answer.

function show(answer, wanted) {
  const { cause, button } = wanted;
  const { form, page } = answer;
  const asking = form.closest(".asking");
  const isLate = !button && String(entriesOf(form)) !== answer.question.body;
  const shownResult = document.querySelector("main .result");
  if (page.querySelector(".asking .wrong, main .faults")) {
    if (!shownResult && !document.querySelector("main .faults") && !button && cause !== "exchanged") return;
    markStale(true);
    say(asking.dataset.incomplete);
    if (isLate || (cause === "typed" && !button)) return;
    lay(page.querySelector(".asking"), asking);
  } else if (isLate) {
    const result = page.querySelector("main .result");
    if (shownResult && result) lay(result, shownResult);
    return;
  } else {
    lay(page.querySelector("main"), document.querySelector("main"));
    markStale(false);
    document.title = page.title;
    tellHeadline();
  }
  const address = !isPosted(form) ? answer.url : document.querySelector("a.again")?.href;
  if (address) history.replaceState(history.state, "", address);
  setSliders();
  if (button) lookAfter(wanted);
  document.dispatchEvent(new Event("page-changed"));
}

function markStale(isStale) {
  document.querySelector("main .result")?.classList.toggle("stale", isStale);
}

function tellHeadline() {
  const headline = document.querySelector(".result .headline");
  const first = [...document.querySelectorAll(".result .first > div")].slice(0, 2);
  const figures = first.map((each) => `${each.querySelector("dt").textContent} ${each.querySelector(".figure")?.textContent ?? ""}`);
  say(headline ? headline.textContent : figures.join(", "));
}

let hushed = 0;

function say(text) {
  const bar = document.querySelector(".follows a");
  if (!bar) return;
  bar.textContent = text.trim();
  bar.parentElement.hidden = !bar.textContent;
  clearTimeout(hushed);
  hushed = setTimeout(() => { document.querySelector(".told").textContent = bar.textContent; }, HUSH_MS);
}

function addBar(asking) {
  const bar = document.createElement("p");
  const link = document.createElement("a");
  const told = document.createElement("p");
  link.href = "#result";
  bar.className = "follows";
  bar.hidden = true;
  told.className = "told unseen";
  told.setAttribute("role", "status");
  for (const each of [bar, told]) each.dataset.added = "";
  bar.append(link);
  asking.append(bar, told);
}

// ---- Sliders beside numbers.

const marksOf = (slide) => slide.dataset.marks?.split(" ");

function numberIn(text) {
  const found = /^(?:f\s*\/?)?\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?$/i.exec(text.trim());
  return found ? Number(found[1].replace(",", ".")) : NaN;
}

function setSlider(slide) {
  const field = document.getElementById(slide.dataset.for);
  const value = numberIn(field.value);
  slide.hidden = false;
  if (!Number.isNaN(value) && slide !== document.activeElement) slide.value = placeOf(slide, value);
  slide.setAttribute("aria-valuetext", field.value || slide.closest(".asking").dataset.blank);
}

function placeOf(slide, value) {
  const marks = marksOf(slide);
  if (!marks) return value;
  const away = marks.map((mark) => Math.abs(Math.log(mark / value)));
  return away.indexOf(Math.min(...away));
}

function setSliders() {
  for (const slide of document.querySelectorAll(".slide")) setSlider(slide);
}

function slid(slide) {
  const field = document.getElementById(slide.dataset.for);
  field.value = marksOf(slide)?.[slide.value] ?? slide.value;
  slide.setAttribute("aria-valuetext", field.value);
}

// ---- What people do.

function lookAfter({ form, button, then, before }) {
  for (const quiet of form.querySelectorAll("[data-quiet]")) if (quiet.dataset.quiet === button.value) quiet.value = "";
  const changed = partsShown().findIndex((part, place) => part !== before[place]);
  document.getElementById(then || `part-${changed + 1}`)?.focus();
}

const partsShown = () => [...document.querySelectorAll(".cards-of-parts .chooser select")].map((each) => each.value);

document.addEventListener("input", ({ target }) => {
  if (target.matches(".slide")) slid(target);
  else for (const slide of document.querySelectorAll(".slide")) if (slide.dataset.for === target.id) setSlider(slide);
  if (isFollowed(target.form) && target.dataset.quiet === undefined) follow(target.form, "typed");
});

document.addEventListener("change", ({ target }) => {
  const cause = target.matches(".chooser select") ? "exchanged" : "changed"; // another part has other fields
  if (isFollowed(target.form) && target.dataset.quiet === undefined) follow(target.form, cause);
});

document.addEventListener("submit", (event) => {
  const button = event.submitter;
  if (button?.name !== "do" || !isFollowed(event.target)) return;
  event.preventDefault();
  follow(event.target, "changed", button);
});

for (const asking of document.querySelectorAll(".asking")) if (isFollowed(asking.querySelector("form"))) addBar(asking);
setSliders();
