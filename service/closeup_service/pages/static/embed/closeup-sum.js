/* <closeup-sum>, a module: a sum of close-up photography on any page. MIT licence. */

const VERSION = "1.2.0";
const HOME = import.meta.url.replace(/\/embed\/.*$/, "");
const CAUTIONS_FIRST = 3;
const WORDS = {
  en: {
    unreachable: "The service does not answer just now. The link here still leads to it.",
    retry: "Try again",
  },
  de: {
    unreachable: "Der Dienst antwortet gerade nicht. Der Link hier führt weiterhin zu ihm.",
    retry: "Noch einmal versuchen",
  },
};

const STYLE = new CSSStyleSheet();
STYLE.replaceSync(`
:host { display: block; max-inline-size: 34rem; font: var(--closeup-font, inherit); }
:host, input, select { color: var(--closeup-ink, CanvasText); background: var(--closeup-paper, Canvas); }
[hidden], :host([hidden]), .fault:empty { display: none; }
.sum, input, select, button { border: 1px solid var(--closeup-rule, GrayText); border-radius: var(--closeup-radius, .25rem); }
.sum { padding: 1rem; }
h2, h3 { margin: 1rem 0 .25rem; font-size: 1em; }
h2 { margin-top: 0; font-size: 1.15em; }
p { margin: .5rem 0; }
p, label, .hint, .fault, dt, dd, li, select { unicode-bidi: plaintext; }
.row, dl { display: grid; grid-template-columns: 1fr minmax(0, 8.5rem); gap: .1rem .75rem; align-items: center; }
.row { margin-block: .5rem; }
.hint { font-size: .875em; }
.fault { grid-column: 1 / -1; font-weight: bold; color: var(--closeup-fault, inherit); }
input, select, button { box-sizing: border-box; inline-size: 100%; min-block-size: 2.75rem; padding: .3rem .5rem;
  font: inherit; }
[aria-invalid] { border: 2px solid var(--closeup-fault, currentColor); }
button { inline-size: auto; padding-inline: 1rem; color: var(--closeup-accent-ink, Canvas);
  background: var(--closeup-accent, CanvasText); }
:focus-visible { outline: 3px solid var(--closeup-focus, Highlight); outline-offset: 2px; }
dl { grid-template-columns: 1fr auto; }
dl, dd { margin: 0; }
dd { font-weight: bold; text-align: end; }
.first { font-size: 1.25em; }
summary { padding-block: .4rem; }
ul { margin: 0; padding-inline-start: 1.25rem; }`);

const make = (tag, attributes = {}, ...children) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) if (value) made.setAttribute(name, value);
  made.append(...children);
  return made;
};
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);

class CloseupSum extends HTMLElement {
  static observedAttributes = ["sum", "server", "lang"];

  connectedCallback() {
    if (!this.shadowRoot) {
      const shadow = this.attachShadow({ mode: "open", delegatesFocus: true });
      shadow.adoptedStyleSheets = [STYLE];
      this.body = make("div");
      this.status = make("p", { role: "status" });
      this.retry = make("button", { type: "button", part: "button" });
      this.retry.onclick = () => this.again();
      this.link = make("slot");
      this.results = make("div");
      this.box = make("div", { class: "sum", part: "sum" }, this.body, this.status, this.retry, this.results, this.link);
      shadow.append(this.box);
    }
    this.start();
  }

  attributeChangedCallback(name, before, after) { if (this.box && before !== after) this.start(); }

  get words() {
    const primary = (this.closest("[lang]")?.lang || "").split("-")[0].toLowerCase();
    return WORDS[primary] ? primary : "en";
  }

  say(text) { this.status.textContent = text; }

  start() {
    const spoken = this.box.lang = this.words;
    const file = encodeURIComponent(this.getAttribute("sum"));
    this.body.replaceChildren();
    this.results.replaceChildren();
    this.link.hidden = false;
    this.say("");
    this.ask(`/embed/${VERSION}/${spoken}/${file}.json`, () => this.start(), (found, told) => {
      if (found) this.show(told); else this.say(told.detail);
    });
  }

  /* Ask; where the service is silent, say so, keep the link, offer another try. */
  async ask(path, again, then) {
    this.asking?.abort();
    const asking = this.asking = new AbortController();
    const late = setTimeout(() => asking.abort(), 1000 * (this.getAttribute("timeout") || 10));
    const server = (this.getAttribute("server") || HOME).replace(/\/$/, "");
    this.again = again;
    this.retry.hidden = true;
    let reply, read;
    try {
      reply = await fetch(server + path, { signal: asking.signal, referrerPolicy: "no-referrer" });
      read = reply.status < 500 && reply.status !== 429 && await reply.json();
    } catch { /* said below */ }
    clearTimeout(late);
    if (this.asking !== asking || !this.isConnected) return;
    if (read) return then(reply.ok, read);
    const words = WORDS[this.words];
    this.link.hidden = this.retry.hidden = false;
    this.retry.textContent = words.retry;
    this.say(words.unreachable);
  }

  show(told) {
    this.told = told;
    const { messages } = told;
    const given = new URLSearchParams(this.getAttribute("values"));
    const more = make("details", {}, make("summary", {}, messages.more));
    const form = make("form", { novalidate: "novalidate" });
    this.inputs = {};
    for (const field of told.fields) (field.more ? more : form).append(this.row(field, given.get(field.name)));
    form.append(more, make("p", {}, make("button", { part: "button" }, messages.calculate)));
    form.onsubmit = (event) => { event.preventDefault(); this.work(); };
    this.body.replaceChildren(make("h2", {}, told.title), form);
    this.link.hidden = true;
    this.say("");
  }

  row(field, given) {
    const id = field.name;
    const told = { id, "aria-describedby": `${id}-hint ${id}-fault`, required: field.required };
    const input = field.choices ? make("select", told) : make("input", { ...told, dir: "ltr", autocomplete: "off" });
    for (const { label, value } of field.choices ?? []) input.append(new Option(label, value));
    input.value = given ?? field.default;
    const label = make("label", { for: id, lang: field.lang }, field.label);
    if (field.unit) label.append(` [${field.unit}]`);
    const hint = make("div", { class: "hint", id: `${id}-hint` }, field.example);
    const fault = make("div", { class: "fault", id: `${id}-fault` });
    this.inputs[id] = { input, fault };
    return make("div", { class: "row" }, make("div", {}, label, hint), input, fault);
  }

  /* Read what was typed; say all faults at once, or ask. */
  work() {
    const query = new URLSearchParams();
    const faults = {};
    this.doubts = [];
    for (const field of this.told.fields) {
      const typed = this.inputs[field.name].input.value.trim();
      if (field.doubt && typed > 1 && !/\D/.test(typed)) this.doubts.push(make("p", {}, fill(field.doubt, { text: typed })));
      if (typed && field.choices) query.set(field.name, typed);
      else if (typed) this.read(typed, field, (value) => query.set(field.name, value), faults);
      else if (field.required) faults[field.name] = this.told.messages.needed;
    }
    this.results.replaceChildren();
    if (this.blame(faults)) return;
    this.say(this.told.messages.working);
    this.ask(`${this.told.path}?${query}`, () => this.work(), (found, reply) => {
      this.link.hidden = true;
      if (found) this.answer(reply); else this.refuse(reply);
    });
  }

  /* A number as people type it. */
  read(typed, field, then, faults) {
    const { messages } = this.told;
    const bare = typed.replace(/−/g, "-").replace(RegExp(field.strip, "gi"), "");
    const parts = (field.divide ? bare.split(RegExp(field.divide)) : [bare]).map((part) => part.trim());
    const [above, below = 1] = parts.map((part) => Number(part.replace(",", ".")));
    const all = (pattern) => parts.every((part) => RegExp(`^${pattern}$`).test(part));
    const value = above / below;
    if (parts.length > 2 || !below || !all(messages.number)) faults[field.name] = fill(messages.not_a_number, { text: typed });
    else if (!all(messages.certain)) faults[field.name] = fill(messages.ambiguous, { text: typed });
    else if (value >= field.minimum && value <= field.maximum) then(value);
    else faults[field.name] = field.refusal;
  }

  /* Set every fault beside its field and the focus on the first; whether there is any. */
  blame(faults, lang = this.told.lang) {
    let first;
    for (const [name, { input, fault }] of Object.entries(this.inputs)) {
      fault.textContent = faults[name] ?? "";
      fault.lang = lang;
      input.ariaInvalid = name in faults ? "true" : null;
      if (name in faults) first ??= input;
    }
    if (!first) return false;
    this.say(this.told.messages.faults);
    const folded = first.closest("details");
    if (folded) folded.open = true;
    first.focus();
    return true;
  }

  refuse(problem) {
    const beside = {};
    const others = new Set();
    for (const { pointer, detail } of problem.errors ?? []) {
      if (pointer.slice(1) in this.inputs) beside[pointer.slice(1)] ??= this.plain(detail);
      else others.add(this.plain(detail));
    }
    if (!this.blame(beside, "en")) this.say(this.told.messages.refused);
    this.results.replaceChildren(...[...others].map((text) => make("p", { lang: "en" }, text)));
  }

  answer(answer) {
    const { messages, results, labels } = this.told;
    const lines = results.flatMap((result, place) => {
      const style = place ? "" : "first";
      const label = make("dt", { class: style, lang: result.lang }, result.label);
      return [label, make("dd", { class: style }, this.shown(answer, result))];
    });
    const assumed = Object.entries(answer.assumed).map(([name, given]) => {
      const { label = name, lang, ...how } = labels[name] ?? {};
      const value = typeof given === "number" ? this.said(given, how) : messages[`choice.${given}`] ?? given;
      return make("li", { lang }, fill(messages.assumed_value, { label, value }));
    });
    const remarks = answer.remarks.map(({ text }) => make("li", { lang: "en" }, this.plain(text)));
    const cautions = answer.cautions.map(({ code, concerns, text }) => make("li", {},
      make("strong", {}, messages[`concerns.${concerns}`]), ". ",
      this.told.cautions[code] ?? make("span", { lang: "en" }, this.plain(text))));
    const rest = cautions.splice(CAUTIONS_FIRST);
    const listed = (title, items) => items.length ? [make("h3", {}, title), make("ul", {}, ...items)] : [];
    this.results.replaceChildren(
      ...this.doubts, make("h3", {}, messages.results), make("dl", {}, ...lines), ...listed(messages.cautions, cautions),
      make("details", rest.length ? {} : { hidden: "hidden" },
        make("summary", {}, fill(messages.more_cautions, { count: rest.length })), make("ul", {}, ...rest)),
      ...listed(messages.remarks, remarks), ...listed(messages.assumed, assumed));
    this.say(fill(messages.done, { label: results[0].label, value: this.shown(answer, results[0]) }));
  }

  shown(answer, { name, extents = [], ...how }) {
    const { not_determined, unlimited } = this.told.messages;
    if (answer[name] != null) return this.said(answer[name], how);
    return extents.some((extent) => answer[extent] === "unlimited") ? unlimited : not_determined;
  }

  /* A number as one says it, with its unit. */
  said(value, { kind, unit = "", whole_from }) {
    const inverse = 1 / value;
    let text = this.figure(value);
    if (kind === "f-number") text = `f/${text}`;
    else if (kind === "ratio") text = value < 1 ? `1:${this.figure(inverse)}` : `${text}:1`;
    else if (value > 0 && value < whole_from) text = `1/${this.figure(inverse, inverse < 100 ? 2 : 3)}`;
    return `${text} ${unit}`.trim();
  }

  figure(value, digits = 3) {
    return value.toLocaleString(this.told.lang, { maximumSignificantDigits: digits, useGrouping: false });
  }

  /* Text with the names of the API in words. */
  plain(text) {
    return text.replace(/ um\b/g, " µm").replace(/[a-z]+(_[a-z0-9]+)+/g, (name) => this.told.names[name] ?? name);
  }
}

if (!customElements.get("closeup-sum")) customElements.define("closeup-sum", CloseupSum);
