// Comfort alone; every page works without. Blank fields are not sent, and a link can be copied.
"use strict";

for (const form of document.querySelectorAll('form[method="get"]')) {
  form.addEventListener("submit", () => {
    const blank = [...form.elements].filter((field) => field.name && field.type !== "checkbox" && !field.value.trim());
    for (const field of blank) field.disabled = true;
    setTimeout(() => { for (const field of blank) field.disabled = false; }, 0);
  });
}

function offerCopy(link) {
  const button = document.createElement("button");
  const told = document.createElement("span");
  button.type = "button";
  button.textContent = "Copy the link";
  told.setAttribute("role", "status");
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(link.href);
    told.textContent = "Copied.";
  });
  for (const each of [button, told]) each.dataset.added = ""; // they stay where a page is laid over this one
  link.after(" ", button, " ", told);
}

function offerCopies() {
  if (!navigator.clipboard) return;
  for (const link of document.querySelectorAll("a.again")) if (link.parentElement.lastElementChild === link) offerCopy(link);
}

offerCopies();
document.addEventListener("page-changed", offerCopies);
