// Where there are too many pieces for a page, what is asked for comes in parts, each a script of its own: a page that is
// opened from a folder may load scripts, and nothing else. Pieces are numbered from the oldest, so that a new piece
// leaves the parts of the others as they are.
"use strict";

const awaited = new Map();
function takePart(name, value) {
  awaited.get(name)(value);
}

// `given` is the count of pieces, the folder of the parts with their version, and how many cards a part and a step have.
function partedList(list, given) {
  const newest = [...list.children];
  const pages = document.getElementById("pages");
  const further = document.getElementById("further");
  const parts = new Map();
  const part = (name) => {
    if (!parts.has(name)) {
      parts.set(name, new Promise((resolve, reject) => {
        const script = document.createElement("script");
        script.src = `${given.folder}${name}.js?${given.version}`;
        script.onerror = () => { parts.delete(name); reject(new Error(`${script.src} is not there`)); };
        awaited.set(name, resolve);
        document.head.append(script);
      }));
    }
    return parts.get(name);
  };

  const choices = async () => {
    const { variants, pieces } = await part("choices");
    return { variants, of: pieces.toReversed() };
  };

  // As for a list that stands in the page: a term counts by the first rank that has it, and the start of a word before
  // its middle. A word's pieces are given for each rank, as steps from one to the next.
  const distances = async (terms) => {
    const { words, firsts } = await part("words");
    const sums = new Array(given.count).fill(0);
    for (const term of terms) {
      const best = new Array(given.count).fill(Infinity);
      const at = words.flatMap((word, index) => word.includes(term) ? [index] : []);
      await Promise.all(at.map(async (index) => {
        const number = firsts.findLastIndex((first) => first <= index);
        const ranks = (await part(`words-${number}`))[index - firsts[number]];
        ranks.forEach((steps, rank) => {
          let piece = 0;
          for (const step of steps) {
            piece += step;
            best[piece] = Math.min(best[piece], 2 * rank + !words[index].startsWith(term));
          }
        });
      }));
      best.forEach((value, piece) => { sums[piece] += value; });
    }
    return sums.reverse();
  };

  const made = async ([at, variant]) => {
    const piece = given.count - 1 - at;
    const [html, places] = (await part(`cards-${Math.floor(piece / given.cards)}`))[piece % given.cards];
    const holder = document.createElement("template");
    holder.innerHTML = html;
    const card = holder.content.firstElementChild;
    lead(card, card.querySelector("a").getAttribute("href"), places[variant]);
    return card;
  };

  let order = [];
  let last = () => true;
  const next = (from) => Promise.all(order.slice(from, from + given.step).map(made));
  const show = async (found, isLast) => {
    last = isLast;
    order = found ?? [];
    const cards = found ? await next(0) : newest;
    if (!isLast()) return;
    list.replaceChildren(...cards);
    list.hidden = !cards.length;
    pages.hidden = found !== null;
    further.hidden = cards.length >= order.length;
  };
  further.addEventListener("click", async () => {
    const isLast = last;
    further.disabled = true;
    try {
      const cards = await next(list.children.length);
      if (!isLast()) return;
      list.append(...cards);
      cards[0].querySelector("a").focus();
      further.hidden = list.children.length >= order.length;
    } finally {
      further.disabled = false;
    }
  });

  // While the parts come, nothing is seen that was not asked for, and the form is there.
  if (page.classList.contains("is-finding")) list.hidden = pages.hidden = true;
  page.classList.remove("is-finding");
  // Whoever goes to the form will need what can be chosen.
  document.getElementById("finder").addEventListener("focusin", () => { part("choices").catch(() => {}); }, { once: true });
  return { count: given.count, choices, distances, show };
}
