/* Entries never get lost on the way: each is kept on the phone first, then sent, and taken off only when it has arrived.
   Works with plain http too; only opening a page without network needs https. */
(() => {
  "use strict";
  const KEY = "rillbed-queue", AGAIN_MS = 30000, PATIENCE_MS = 10000;
  const who = document.body.dataset.who || "";
  const main = document.getElementById("main");
  // English text -> what the page says instead; {name} stands for what is filled in.
  const words = JSON.parse(document.currentScript?.dataset.words || "{}");
  const fill = (text, values) => Object.entries(values).reduce((told, [name, value]) => told.split(`{${name}}`).join(value), text);
  const say = (text, values = {}) => fill(words[text] || text, values);
  const count = (one, several, n) => {
    const forms = words[several];
    const form = forms ? forms[new Intl.PluralRules(document.documentElement.lang).select(n)] || forms.other : n === 1 ? one : several;
    return fill(form, { n });
  };

  const read = () => { try { return JSON.parse(localStorage.getItem(KEY)) || []; } catch { return []; } };
  const write = (items) => { try { localStorage.setItem(KEY, JSON.stringify(items)); return true; } catch { return false; } };
  const mine = () => read().filter((item) => item.who === who);
  const drop = (id) => write(read().filter((item) => item.id !== id));
  const change = (id, what) => write(read().map((item) => (item.id === id ? { ...item, ...what } : item)));
  const uuid = () => {
    if (crypto.randomUUID) return crypto.randomUUID();
    const b = crypto.getRandomValues(new Uint8Array(16));
    b[6] = (b[6] & 15) | 64; b[8] = (b[8] & 63) | 128;
    const hex = Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  };

  if (!who) { // signed out: no copy of anybody's pages stays; entries that wait are kept for whoever made them
    if (window.caches && document.body.dataset.out !== undefined) caches.delete("rillbed-pages");
    return;
  }
  if ("serviceWorker" in navigator && document.body.dataset.worker) navigator.serviceWorker.register(document.body.dataset.worker);

  const post = async (item) => {
    const body = new URLSearchParams(item.body);
    body.set("made_at", item.made);
    body.set("sent_at", new Date().toISOString());
    const late = new AbortController(), timer = setTimeout(() => late.abort(), PATIENCE_MS);
    try {
      return await fetch(item.to, { method: "POST", body, credentials: "same-origin", signal: late.signal, headers: { "X-Rillbed-Queue": item.who } });
    } finally { clearTimeout(timer); }
  };

  // One try to send one entry: where to go on, or why not.
  const send = async (item) => {
    let answer;
    try { answer = await post(item); } catch { return { state: "waits" }; }
    if (answer.status === 200 && (answer.headers.get("Content-Type") || "").startsWith("application/json")) {
      drop(item.id);
      return { state: "sent", to: (await answer.json()).to };
    }
    if (answer.status === 401) return { state: "signed-out" };
    if (answer.status === 403) return { state: "token" };
    if (answer.status >= 400 && answer.status < 500) return { state: "refused" };
    return { state: "waits" };
  };

  // A page that is older than the sign-in has a spent token; any page of ours brings a new one.
  const renew = async (item) => {
    try {
      const fresh = new DOMParser().parseFromString(await (await fetch(document.body.dataset.pages, { credentials: "same-origin" })).text(), "text/html");
      const token = fresh.querySelector("[name=csrfmiddlewaretoken]");
      if (!token) return false;
      const body = new URLSearchParams(item.body);
      body.set("csrfmiddlewaretoken", token.value);
      item.body = body.toString();
      return change(item.id, { body: item.body });
    } catch { return false; }
  };

  const place = document.createElement("section");
  place.className = "waiting";
  place.setAttribute("aria-label", say("Entries that wait on this phone"));
  place.hidden = true;
  main.prepend(place);
  const make = (name, text, cls) => {
    const node = document.createElement(name);
    node.textContent = text || "";
    if (cls) node.className = cls;
    return node;
  };
  let news = "";
  const show = () => {
    const items = mine();
    place.hidden = items.length === 0 && !news;
    place.replaceChildren();
    if (place.hidden) return;
    const line = make("p", items.length ? `${count("{n} entry waits on this phone.", "{n} entries wait on this phone.", items.length)} ` : "");
    line.append(news);
    line.setAttribute("role", "status");
    place.append(line);
    if (items.length === 0) return;
    const more = make("details", "", "why");
    more.append(make("summary", say("Which")));
    const list = make("ul", "", "checks one");
    for (const item of items) {
      const row = make("li"), what = make("div", item.title);
      const when = new Date(item.made).toLocaleString();
      what.append(make("small", ` ${item.refused ? say("{when}, refused: open the form and type it again", { when }) : when}`));
      const away = make("button", say("Discard"), "btn quiet");
      away.type = "button";
      away.setAttribute("aria-label", say("Discard: {title}", { title: item.title }));
      away.addEventListener("click", () => { if (confirm(say("Discard this entry? It is nowhere else."))) { drop(item.id); show(); } });
      row.append(what, away);
      list.append(row);
    }
    more.append(list);
    const now = make("button", say("Send now"), "btn");
    now.type = "button";
    now.addEventListener("click", () => sendAll(true));
    place.append(more, now);
  };

  let busy = false;
  const sendAll = async (pressed) => {
    if (busy) return;
    busy = true;
    let sent = 0, why = "", out = false;
    for (const item of mine().filter((one) => !one.refused || pressed)) {
      let told = await send(item);
      if (told.state === "token" && (await renew(item))) told = await send(item);
      if (told.state === "sent") { sent += 1; continue; }
      if (told.state === "refused") { change(item.id, { refused: true }); continue; }
      out = told.state !== "waits";
      why = out ? say("Sign in to send.") : say("No network yet.");
      break;
    }
    busy = false;
    news = sent ? count("{n} entry was sent.", "{n} entries were sent.", sent) : pressed || out ? why : "";
    show();
  };

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.matches("form[data-queue]") || form.dataset.native) return;
    const data = new FormData(form, event.submitter || undefined);
    if (!data.get("uuid")) return; // nothing tells it apart, so it goes the plain way
    const at = form.querySelector("[name=at]");
    if (at && at.value && at.value === at.defaultValue) data.delete("at"); // "just now": the time it was made
    const heading = form.dataset.queue || document.title.split(" · ")[0];
    const item = { id: data.get("uuid"), who, to: form.action || location.href, body: new URLSearchParams(data).toString(), made: new Date().toISOString(), title: heading };
    if (!write([...read().filter((one) => one.id !== item.id), item])) return; // no room to keep it: the plain way
    event.preventDefault();
    const button = event.submitter;
    if (button) button.disabled = true;
    const told = await send(item);
    if (button) button.disabled = false;
    if (told.state === "sent") { location.assign(told.to); return; }
    if (told.state === "waits") {
      news = say("It is sent as soon as there is a network.");
      const key = form.querySelector("[name=uuid]");
      if (form.dataset.once !== undefined) form.closest("li")?.classList.add("done");
      else { form.reset(); key.value = uuid(); key.defaultValue = key.value; }
      show();
      place.scrollIntoView({ block: "start" });
      return;
    }
    drop(item.id); // the server has something to say: let it say it
    form.dataset.native = "1";
    form.requestSubmit ? form.requestSubmit(button || undefined) : form.submit();
  });

  addEventListener("online", () => sendAll(false));
  addEventListener("storage", show);
  setInterval(() => { if (mine().some((item) => !item.refused)) sendAll(false); }, AGAIN_MS);
  if (mine().length) { show(); sendAll(false); }
  if (!navigator.onLine) {
    const made = document.body.dataset.made;
    const when = made && new Date(made).toLocaleString();
    const old = make("p", when ? say("No network. This page is from {when}.", { when }) : say("No network. This page is from earlier."), "shows");
    old.setAttribute("role", "status");
    main.prepend(old);
  }
})();
