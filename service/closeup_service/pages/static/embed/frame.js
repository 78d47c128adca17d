/* Makes a framed calculator nicer: its height goes to the page around it, and the form works where forms are not allowed. */
const form = document.querySelector("form");

form.addEventListener("click", (event) => {
  if (!event.target.closest("button")) return;
  event.preventDefault();
  const given = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (value.trim()) given.append(name, value.trim());
  location.assign(`${location.pathname}?${given}`);
});

if (parent !== window) {
  const tell = () => parent.postMessage({ type: "closeup-height", height: document.documentElement.offsetHeight }, "*");
  new ResizeObserver(tell).observe(document.documentElement);
}
