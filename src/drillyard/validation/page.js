"use strict";
(() => {
  const form = document.querySelector(".filter");
  const field = (id) => document.getElementById(id);
  const rows = [...document.querySelectorAll(".rows tbody tr")].map((row) => ({
    row, area: row.closest("section").id, text: row.textContent.toLowerCase(),
  }));
  const show = () => {
    const words = field("find").value.toLowerCase().split(/\s+/).filter(Boolean);
    const [verdict, area, kind] = ["verdict", "area", "kind"].map((id) => field(id).value);
    let shown = 0;
    for (const one of rows) {
      const fits = (!verdict || one.row.dataset.v === verdict) && (!area || one.area === area)
        && (!kind || one.row.dataset.k === kind) && words.every((word) => one.text.includes(word));
      one.row.hidden = !fits;
      shown += fits;
    }
    for (const section of document.querySelectorAll("section.area")) {
      section.hidden = !section.querySelector("tbody tr:not([hidden])");
    }
    field("shown").textContent = `${shown} of ${rows.length} rows`;
  };
  form.hidden = false;
  form.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(show));
  addEventListener("hashchange", () => {
    const aim = location.hash && document.getElementById(location.hash.slice(1));
    if (aim && (aim.hidden || aim.closest("[hidden]"))) { form.reset(); setTimeout(() => aim.scrollIntoView()); }
  });
  show();
})();
