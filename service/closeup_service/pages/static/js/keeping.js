// Lets the browser keep the pages and the last results, for where there is no network.
{
  const script = document.currentScript.src;
  let kept = location.href;
  const SETTLED_MS = 2000;
  const isOfPages = document.querySelector('link[rel="manifest"]'); // a drawing alone needs no worker
  const caching = isOfPages && navigator.serviceWorker;

  if (caching) {
    addEventListener("load", () => caching.register(new URL("../service-worker.js", script)).catch(() => {}));
    // A page that changes its own address shows another result than the one that was opened.
    const keep = () => {
      if (location.href === kept) return;
      kept = location.href;
      caching.controller?.postMessage({ keep: kept });
    };
    // Folded drawings are asked for late, so that they are kept as well.
    const loadFolded = () => {
      if (!caching.controller) return;
      for (const each of document.querySelectorAll('img[loading="lazy"]')) each.loading = "eager";
    };
    addEventListener("load", () => setTimeout(loadFolded, SETTLED_MS));
    document.addEventListener("change", () => setTimeout(() => { keep(); loadFolded(); }, SETTLED_MS));
    document.addEventListener("visibilitychange", () => { if (document.hidden) keep(); });
  }

  const erase = document.querySelector("#erase-kept");
  if (erase && "caches" in window) {
    const told = document.querySelector("#erased");
    erase.hidden = false;
    erase.addEventListener("click", async () => {
      const names = (await caches.keys()).filter((name) => name.startsWith("closeup "));
      await Promise.all(names.map((name) => caches.delete(name)));
      told.hidden = false;
    });
  }
}
