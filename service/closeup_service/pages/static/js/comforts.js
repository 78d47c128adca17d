// Comfort alone; every page works without. Blank fields are not sent, menus close, a link can be copied, a page printed.
// What is added says the words that stand in the page, in its language.
"use strict";

for (const form of document.querySelectorAll('form[method="get"]')) {
  form.addEventListener("submit", () => {
    const blank = [...form.elements].filter((field) => field.name && field.type !== "checkbox" && !field.value.trim());
    for (const field of blank) field.disabled = true;
    setTimeout(() => { for (const field of blank) field.disabled = false; }, 0);
  });
}

const menus = [...document.querySelectorAll("header details")];
const closeMenus = (kept) => { for (const menu of menus) if (!menu.contains(kept)) menu.open = false; };
document.addEventListener("click", (event) => closeMenus(event.target));
document.addEventListener("focusin", (event) => closeMenus(event.target));
document.addEventListener("keydown", (event) => {
  const open = menus.find((menu) => menu.open);
  if (event.key !== "Escape" || !open) return;
  if (open.contains(document.activeElement)) open.querySelector("summary").focus();
  closeMenus(null);
});

const addButton = (text, act) => {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "small";
  button.dataset.added = ""; // it stays where a page is laid over this one
  button.textContent = text;
  button.addEventListener("click", act);
  return button;
};

const addPrint = (place, words) => place.append(" ", addButton(words, () => window.print()));

function addCopy(place, link) {
  const told = document.createElement("span");
  told.setAttribute("role", "status");
  place.append(" ", addButton(link.dataset.copy, async () => {
    await navigator.clipboard.writeText(link.href);
    told.textContent = link.dataset.copied;
  }), " ", told);
  told.dataset.added = "";
}

function addToLinks() {
  for (const link of document.querySelectorAll("a.again")) {
    const place = link.parentElement;
    if (place.querySelector("button")) continue;
    if (navigator.clipboard) addCopy(place, link);
    addPrint(place, link.dataset.print);
  }
}

// The same page in another language holds what was typed since.
function takeAlongToLanguages() {
  for (const link of document.querySelectorAll(".languages a")) link.search = location.search;
}

addToLinks();
document.addEventListener("page-changed", addToLinks);
document.addEventListener("page-changed", takeAlongToLanguages);
for (const place of document.querySelectorAll("p[data-print]")) addPrint(place, place.dataset.print);
