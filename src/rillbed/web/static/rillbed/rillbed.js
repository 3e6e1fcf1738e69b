/* Rillbed without this file still logs, forecasts and prints. It adds: the light switch, the time zone, words under a chart. */
(() => {
  "use strict";
  const page = document.documentElement;
  const all = (query, from = document) => Array.from(from.querySelectorAll(query));

  // Light and dark: the system decides until someone presses the switch.
  const keep = {
    get() { try { return localStorage.getItem("rillbed-theme"); } catch { return null; } },
    set(value) { try { localStorage.setItem("rillbed-theme", value); } catch { /* storage may be closed */ } },
  };
  const kept = keep.get();
  if (kept === "light" || kept === "dark") page.dataset.theme = kept;
  const isDark = () => (page.dataset.theme || (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light")) === "dark";
  for (const button of all("[data-theme-switch]")) {
    button.addEventListener("click", () => {
      page.dataset.theme = isDark() ? "light" : "dark";
      keep.set(page.dataset.theme);
    });
  }

  // The form of a new loop begins with the zone and the day of whoever fills it; on UTC days would turn at odd hours.
  for (const form of all("form[data-own-zone]")) {
    const { time_zone: zone, started_on: filled } = form.elements;
    const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
    const now = new Date();
    if (!zone || zone.value !== "UTC" || !own) continue;
    zone.value = own;
    if (filled && filled.value === now.toISOString().slice(0, 10)) filled.value = now.toLocaleDateString("sv-SE");
  }

  // Read-out: pointer, touch or arrow keys choose a row of the chart's own table; its cells are the words.
  const attach = (svg) => {
    const table = document.getElementById(svg.dataset.table);
    const figure = svg.closest("figure");
    const out = figure && figure.querySelector(".readout");
    const cursor = svg.querySelector(".cur");
    if (!table || !out || !cursor) return;
    const rows = all("tbody tr[data-x]", table);
    if (rows.length === 0) return;
    const heads = all("thead th", table).map((cell) => cell.textContent.trim());
    const { l, r, x0, x1 } = svg.dataset;
    const left = Number(l), right = Number(r), start = Number(x0), span = Number(x1) - start || 1;
    const days = rows.map((row) => Number(row.dataset.x));
    let chosen = -1;

    const choose = (index) => {
      chosen = Math.min(rows.length - 1, Math.max(0, index));
      const px = left + ((days[chosen] - start) / span) * (right - left);
      cursor.setAttribute("x1", px);
      cursor.setAttribute("x2", px);
      cursor.classList.add("on");
      const cells = all("th, td", rows[chosen]).map((cell) => cell.textContent.trim());
      out.textContent = cells.map((words, i) => (i === 0 ? words : `${heads[i] || ""} ${words}`)).join(" · ");
    };
    const nearest = (day) => {
      let best = 0;
      days.forEach((d, i) => { if (Math.abs(d - day) < Math.abs(days[best] - day)) best = i; });
      return best;
    };
    const point = (event) => {
      const box = svg.getBoundingClientRect();
      const px = ((event.clientX - box.left) / box.width) * svg.viewBox.baseVal.width;
      choose(nearest(start + ((px - left) / (right - left)) * span));
    };
    svg.addEventListener("pointerdown", point);
    svg.addEventListener("pointermove", point);
    svg.addEventListener("keydown", (event) => {
      const to = { ArrowRight: chosen + 1, ArrowLeft: Math.max(0, chosen - 1), Home: 0, End: rows.length - 1 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      choose(to);
    });
  };
  all("svg[data-table]").forEach(attach);
})();
