// Keeps somebody's own kit in this browser alone, and takes it along with forms. Every page works without.
"use strict";

(() => {
  const KIT = "closeup-kit", OFF = "closeup-kit-off", SENT = "closeup-kit-sent";
  const page = document.currentScript.dataset;
  const root = document.documentElement;

  let kept;
  try {
    kept = localStorage.getItem(KIT);
    sessionStorage.getItem(SENT);
  } catch {
    return; // this browser keeps nothing for this page, which then works as without a script
  }
  const isOff = localStorage.getItem(OFF) !== null;
  const wanted = kept !== null && page.kit === "service" && (page.page === "kit" || (!isOff && !location.search));
  if (wanted && page.page) root.dataset.kitWait = "";

  const find = (selector) => document.querySelector(selector);
  const ready = () => {
    if (page.page === "kit") showKit();
    if (page.page === "task") useKit();
  };
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", ready);
  else ready();

  document.addEventListener("submit", (event) => {
    const form = event.target;
    const newest = localStorage.getItem(KIT);
    const changes = form.matches(".own-kit, .keep-part, .kit-file");
    if (newest !== null && (form.matches(".own-kit, .keep-part") || (form.matches(".of-kit") && form.method === "post"))) {
      takeAlong(form, newest);
    }
    if (changes && event.submitter?.value !== "export") sessionStorage.setItem(SENT, "yes");
  });

  function takeAlong(form, kit) {
    let field = form.querySelector('input[name="kit"]');
    if (!field) {
      field = document.createElement("input");
      field.type = "hidden";
      field.name = "kit";
      form.prepend(field);
    }
    field.value = kit;
  }

  async function pageWithKit(address) {
    const sent = new FormData();
    sent.set("kit", kept);
    if (page.page === "kit") sent.set("do", "show");
    const answer = await fetch(address, { method: "POST", body: sent });
    if (!answer.ok) throw new Error(answer.statusText);
    return new DOMParser().parseFromString(await answer.text(), "text/html");
  }

  // The page of the kit

  async function showKit() {
    const field = find('form.own-kit input[name="kit"]');
    if (page.kit === "own" && field) keep(field.value);
    if (wanted) await openKept();
    const told = find("#kept"), erase = find("a.erase");
    if (told?.dataset.kept && localStorage.getItem(KIT) !== null) told.textContent = told.dataset.kept;
    if (erase && localStorage.getItem(KIT) !== null) offerErasing(erase);
    if (localStorage.getItem(KIT) !== null) find(".no-kit-yet")?.remove();
    window.addEventListener("storage", (event) => {
      if (event.key === KIT && !find("#part")) location.replace(location.pathname);
    });
  }

  function keep(kit) {
    if (sessionStorage.getItem(SENT) === null) return; // no form of this page sent it
    sessionStorage.removeItem(SENT);
    try {
      localStorage.setItem(KIT, kit);
      localStorage.removeItem(OFF);
      history.replaceState(null, "", location.pathname);
    } catch {
      const told = find("#kept");
      if (told) told.textContent = told.dataset.full;
    }
  }

  async function openKept() {
    const faults = find("main .faults");
    try {
      const opened = await pageWithKit(location.pathname);
      opened.querySelector(".said")?.remove();
      if (!faults || opened.querySelector("main .faults")) find("main").replaceChildren(...opened.querySelector("main").childNodes);
      else {
        find("main").replaceChildren(...opened.querySelector("main").childNodes);
        find("h1").after(faults);
      }
    } finally {
      delete root.dataset.kitWait;
    }
  }

  function offerErasing(link) {
    link.textContent = link.dataset.erase;
    link.addEventListener("click", (event) => {
      event.preventDefault();
      if (!confirm(link.dataset.sure)) return;
      localStorage.removeItem(KIT);
      localStorage.removeItem(OFF);
      location.replace(location.pathname);
    });
  }

  // A page with a form that chooses from the kit

  async function useKit() {
    const form = find("form.of-kit");
    if (page.kit === "own") {
      find(".other-kit")?.addEventListener("click", () => { if (kept !== null) localStorage.setItem(OFF, "yes"); });
      const link = find("a.again");
      if (!link) return;
      history.replaceState(null, "", link.href);
      document.dispatchEvent(new Event("page-changed"));
      return;
    }
    if (wanted) await fillForm(form);
    else if (kept !== null) offerKit(form);
  }

  async function fillForm(form) {
    try {
      const filled = await pageWithKit(form.action);
      for (const list of filled.querySelectorAll("form.of-kit select, form.of-kit fieldset.field")) {
        const old = document.getElementById(list.id);
        if (old && old.innerHTML !== list.innerHTML) old.innerHTML = list.innerHTML; // moved options would come selected
      }
      find(".examples")?.replaceChildren(...(filled.querySelector(".examples")?.childNodes ?? []));
      find("#kit-in-use").replaceWith(filled.querySelector("#kit-in-use"));
      find(".other-kit")?.addEventListener("click", () => localStorage.setItem(OFF, "yes"));
      if (filled.querySelector('form.of-kit input[name="kit"]')) sendWithKit(form);
      else find("h1").after(filled.querySelector(".faults"));
      document.dispatchEvent(new Event("closeup-kit"));
    } finally {
      delete root.dataset.kitWait;
    }
  }

  function sendWithKit(form) {
    form.method = "post";
    form.enctype = "multipart/form-data";
    takeAlong(form, kept);
  }

  function offerKit(form) {
    const section = find("#kit-in-use");
    if (!section) return;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = section.dataset.use;
    button.dataset.added = ""; // it stays where a page is laid over this one
    button.addEventListener("click", () => {
      localStorage.removeItem(OFF);
      if (!location.search || !form) return location.assign(location.pathname);
      sendWithKit(form);
      form.submit();
    });
    section.querySelector("p").append(" ", button);
  }
})();
