// Every variant is a row of the table, at an address of its own, and stands without this script. With it, a buyer picks
// a size, glass and finish; picture, price, measures, enquiry and address follow. Nothing is calculated here: text and
// links are copied from the row.
"use strict";

const chooser = document.getElementById("chooser");
const rows = [...document.querySelectorAll(".choices tbody tr[id]")];
const asking = document.getElementById("asking");

if (rows.length && asking) {
  const parts = ["size", "glass", "finish"].filter((part) => chooser?.elements[part]);
  const price = document.getElementById("asked-price");
  const availability = document.getElementById("asked-availability");
  const enquire = document.getElementById("enquire");
  const measures = [...document.querySelectorAll("#chosen > div")];
  const inputs = chooser ? [...chooser.querySelectorAll("input")] : [];
  const first = rows.find((row) => inputs.filter((input) => input.checked).every((input) => row.dataset[input.name] === input.value));

  const wanted = () => {
    const form = new FormData(chooser);
    return parts.map((part) => [part, form.get(part)]);
  };
  const fits = (row, pairs) => pairs.every(([part, value]) => row.dataset[part] === value);
  const cell = (row, name) => row.querySelector(`.is-${name}`);

  const show = (row, part) => {
    for (const each of rows) each.classList.toggle("is-chosen", each === row);
    const ask = row && cell(row, "ask")?.querySelector("a");
    const words = row && cell(row, "price");
    price.replaceChildren(...(words && ask ? [...words.childNodes].map((node) => node.cloneNode(true)) : []));
    availability.textContent = row ? (ask ? row.dataset.availability : asking.dataset.sold) : asking.dataset.notOffered;
    enquire.hidden = !ask;
    if (ask) enquire.href = ask.href;
    for (const line of measures) {
      const text = row ? cell(row, line.className.slice(3))?.textContent.trim() : "";
      line.hidden = !text;
      line.querySelector("dd").textContent = text;
    }
    // A choice that no row has with the others picked stays open to the buyer, but is shown as faint.
    const pairs = parts.length ? wanted() : [];
    for (const input of inputs) {
      const others = pairs.filter(([part]) => part !== input.name);
      const made = rows.some((each) => fits(each, [...others, [input.name, input.value]]));
      input.parentElement.classList.toggle("is-not-made", !made);
    }
    if (row) document.dispatchEvent(new CustomEvent("variant", { detail: { row, part } }));
  };

  // The row that an address names. Where a name in it is no longer the record's, the row that has most of its names.
  const named = (place) => {
    const exact = rows.find((row) => row.id === place);
    if (exact || !place.includes("--")) return exact;
    const names = place.split("--");
    const shared = (row) => row.id.split("--").filter((name) => names.includes(name)).length;
    const best = [...rows].sort((a, b) => shared(b) - shared(a))[0];
    return shared(best) ? best : undefined;
  };
  const read = () => {
    const place = decodeURIComponent(location.hash.slice(1));
    const row = named(place);
    if (!row && place) return;
    const shown = row ?? first ?? rows[0];
    for (const input of inputs) input.checked = shown.dataset[input.name] === input.value;
    show(shown);
    if (row) requestAnimationFrame(toTop);
  };
  // What the row says stands at the top now, beside the picture; a browser would unfold the table and go to the row.
  const toTop = () => {
    const fold = rows[0].closest("details");
    if (fold) fold.open = false;
    scrollTo({ top: 0, behavior: "instant" });
  };

  chooser?.addEventListener("change", (event) => {
    const row = rows.find((each) => fits(each, wanted()));
    show(row, event.target.name);
    // Some browsers let no page of a folder change its address: the choice then works, but is not kept.
    try {
      if (row && location.hash !== `#${row.id}`) history.pushState(null, "", `#${row.id}`);
    } catch { /* the page goes on without it */ }
  });
  chooser?.addEventListener("submit", (event) => event.preventDefault());
  addEventListener("popstate", read);
  addEventListener("hashchange", read);

  read();
  // Until the page is whole, browsers go to the place that its address names.
  if (document.readyState !== "complete" && named(decodeURIComponent(location.hash.slice(1)))) {
    addEventListener("load", () => requestAnimationFrame(toTop), { once: true });
  }
}
