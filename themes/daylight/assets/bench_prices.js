// Cost and prices: from the disk those of the last build. Shown by the program itself, each change is sent to it, and
// it answers with what it has worked out; Save asks it to write the marks into the record.
"use strict";

(() => {
  const byId = (id) => document.getElementById(id);
  const { words, say } = pattern;
  const [token, variant, money, save] = [document.querySelector("meta[name=run]")?.content, byId("variant"), byId("money"), byId("save")];
  const amounts = Object.fromEntries(Object.entries(record.variants).map(([sku, each]) => [sku, each.money]));
  const built = byId("as-of").textContent;
  let waiting = null;
  let question = null;

  const showMoney = () => {
    const sku = variant?.value ?? money.dataset.sku;
    money.querySelectorAll("dd").forEach((line, index) => (line.textContent = amounts[sku]?.[index] ?? "–"));
  };
  const showFaults = (faults) => {
    byId("faults").hidden = !faults.length;
    byId("faults").replaceChildren(
      ...faults.map((fault) => {
        const line = document.createElement("li");
        line.textContent = fault;
        return line;
      }),
    );
  };
  const isNow = (text) => (byId("as-of").textContent = text);

  const send = async (what, signal) => {
    const answer = await fetch(`/.marks/${what}`, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Run": token },
      body: JSON.stringify(marks.asked()),
      signal,
    });
    return answer.json();
  };
  const price = async () => {
    question?.abort();
    question = new AbortController();
    isNow(words("script_working"));
    try {
      const answer = await send("price", question.signal);
      if (answer.prices) Object.assign(amounts, answer.prices);
      showFaults(answer.faults);
      money.classList.toggle("is-old", !answer.prices);
      isNow(words(answer.prices ? "script_priced" : "script_not_priced"));
      showMoney();
    } catch (fault) {
      if (fault.name !== "AbortError") isNow(words("script_unreached"));
    }
  };

  let last = marks.step();
  marks.listen(() => {
    if (marks.step() === last) return;
    last = marks.step();
    if (!token) {
      isNow(marks.canUndo ? words("script_not_in_prices") : built);
      return;
    }
    save.disabled = marks.isSaved;
    clearTimeout(waiting);
    waiting = setTimeout(price, 250);
  });

  if (token) {
    save.hidden = false;
    save.addEventListener("click", async () => {
      const step = marks.step();
      save.disabled = true;
      try {
        const answer = await send("save");
        showFaults(answer.faults);
        if (answer.seen) {
          record.seen = answer.seen;
          marks.noteSaved(step);
        }
        say(words(answer.seen ? "script_saved" : "script_not_saved"));
      } catch {
        say(words("script_unreached"));
      }
      save.disabled = marks.isSaved;
    });
    // The page follows the bench, but never at the cost of what is not saved.
    let seen = null;
    setInterval(async () => {
      try {
        const count = await (await fetch("/.changes-of-bench")).text();
        if (seen !== null && count !== seen && marks.isSaved) location.reload();
        if (marks.isSaved || seen === null) seen = count;
      } catch {
        // The program was stopped; the page stays.
      }
    }, 700);
  }

  variant?.addEventListener("change", () => {
    pattern.showChoice(record.variants[variant.value].choice);
    answers.chips();
    showMoney();
  });
})();
