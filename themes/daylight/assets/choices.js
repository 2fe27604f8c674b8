// The table of choices holds everything and stands without this script. With it, a buyer picks a
// size, finish and glass and sees that row's words. Nothing is calculated here: text is copied.
"use strict";

const chooser = document.getElementById("chooser");
const rows = [...document.querySelectorAll(".choices tbody tr")];

if (chooser && rows.length > 1) {
  const parts = ["size", "finish", "glass"];
  const chosen = document.getElementById("chosen");
  const enquire = document.getElementById("enquire");
  const plainHref = enquire.getAttribute("href");

  const wanted = () => {
    const form = new FormData(chooser);
    return parts.filter((part) => form.has(part)).map((part) => [part, form.get(part)]);
  };
  const fits = (row, pairs) => pairs.every(([part, value]) => row.dataset[part] === value);

  const fill = (row) => {
    chosen.replaceChildren();
    if (!row) {
      chosen.textContent = chosen.dataset.notOffered;
      return;
    }
    for (const cell of row.cells) {
      if (!cell.textContent.trim()) continue;
      if (parts.some((part) => cell.classList.contains(`is-${part}`))) continue;
      const line = document.createElement("span");
      line.className = cell.className;
      const name = document.createElement("span");
      name.className = "name";
      name.textContent = `${cell.dataset.name} `;
      line.append(name, ...[...cell.childNodes].map((node) => node.cloneNode(true)));
      chosen.append(line, " ");
    }
  };

  const update = () => {
    const pairs = wanted();
    const row = rows.find((each) => fits(each, pairs));
    for (const each of rows) each.classList.toggle("is-chosen", each === row);
    // A choice that no row has with the other picks stays open to the buyer, but is shown as faint.
    for (const input of chooser.querySelectorAll("input")) {
      const others = pairs.filter(([part]) => part !== input.name);
      const made = rows.some((each) => fits(each, [...others, [input.name, input.value]]));
      input.parentElement.classList.toggle("is-not-made", !made);
    }
    fill(row);
    if (row && plainHref.startsWith("mailto:") && !plainHref.includes("body=")) {
      const words = pairs.map(([, value]) => value).join(", ");
      const line = enquire.dataset.line.replace("{choice}", words);
      enquire.href = `${plainHref}${plainHref.includes("?") ? "&" : "?"}body=${encodeURIComponent(line)}`;
    } else {
      enquire.href = plainHref;
    }
  };

  chooser.hidden = false;
  chooser.addEventListener("change", update);
  chooser.addEventListener("submit", (event) => event.preventDefault());
  update();
}
