/* The lesson without this file has a button. With it, sliding asks the server again and changes what changed. */
(() => {
  "use strict";
  const form = document.querySelector("form[data-lesson]");
  if (!form) return;
  const button = form.querySelector("[data-lesson-button]");
  if (button) button.hidden = true;
  let wait = 0, asked = null;

  const show = (text) => {
    const fresh = new DOMParser().parseFromString(text, "text/html");
    for (const part of document.querySelectorAll("[data-lesson-part]")) {
      const found = fresh.querySelector(`[data-lesson-part="${part.dataset.lessonPart}"]`);
      if (found) part.innerHTML = found.innerHTML;
    }
    for (const slider of form.querySelectorAll("input[type=range]")) {
      const found = fresh.getElementById(slider.id);
      if (found) slider.setAttribute("aria-valuetext", found.getAttribute("aria-valuetext"));
    }
  };

  const ask = async () => {
    const query = new URLSearchParams(new FormData(form)).toString();
    if (asked) asked.abort();
    asked = new AbortController();
    try {
      const answer = await fetch(`${location.pathname}?${query}`, { signal: asked.signal, credentials: "same-origin" });
      if (!answer.ok) return;
      show(await answer.text());
      history.replaceState(null, "", `?${query}`);
    } catch { /* a newer question has taken its place, or there is no network: the last answer stays */ }
  };

  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(ask, 250);
  });
})();
