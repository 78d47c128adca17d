/* Gives each <iframe class="closeup-frame"> the height that its page asks for. MIT licence.
   Only a message from the frame's own window counts: what other windows send is left alone. */
addEventListener("message", ({ source, data }) => {
  if (data?.type !== "closeup-height" || !Number.isFinite(data.height)) return;
  for (const frame of document.querySelectorAll("iframe.closeup-frame")) {
    if (frame.contentWindow === source) frame.height = Math.min(Math.max(Math.ceil(data.height), 200), 4000);
  }
});
