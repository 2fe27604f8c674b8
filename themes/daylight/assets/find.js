// The list of pieces stands without this script. With it, pieces that do not match the choice are left out, and the
// page's address holds the choice. Nothing is calculated here: words and values are compared.
//
// It is loaded before the page is drawn, so that neither the form nor a list that is still whole is seen to change.
"use strict";

const page = document.documentElement;
page.classList.add("can-find");
if (location.search.length > 1) page.classList.add("is-finding");

const plain = (text) =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLocaleLowerCase(page.lang || undefined);

// A result leads to the variant that was looked for.
const lead = (card, href, place) => card.querySelector("a").setAttribute("href", href + (place ? `#${place}` : ""));

// All pieces stand in the page, the newest first: they are shown, hidden and put in order.
function wholeList(list, data) {
  const cards = new Map([...list.children].map((card) => [card.querySelector("a").getAttribute("href"), card]));
  const products = data.map((product) => ({ ...product, words: product.words.map(plain), card: cards.get(product.href) }));
  const variants = data.flatMap((product) => product.variants);
  let count = 0;
  const of = data.map((product) => product.variants.map(() => count++));

  // Words come in ranks: a title, what is said of the piece, its glass. A term counts by the first rank that has it, and
  // the start of a word before its middle.
  const rank = (product, term) => {
    const at = product.words.findIndex((text) => text.includes(term));
    return at < 0 ? Infinity : 2 * at + !` ${product.words[at]}`.includes(` ${term}`);
  };

  return {
    count: data.length,
    choices: async () => ({ variants, of }),
    distances: async (terms) => products.map((product) => terms.reduce((sum, term) => sum + rank(product, term), 0)),
    show: async (found) => {
      const order = found ?? products.map((_, at) => [at, -1]);
      for (const product of products) product.card.hidden = true;
      for (const [at, variant] of order) {
        const { card, href, places } = products[at];
        card.hidden = false;
        lead(card, href, places[variant]);
      }
      const sorted = [...new Set([...order.map(([at]) => products[at]), ...products])];
      if (sorted.some((product, at) => list.children[at] !== product.card)) list.append(...sorted.map(({ card }) => card));
      list.hidden = !order.length;
    },
  };
}

async function begin() {
  const form = document.getElementById("finder");
  const list = document.getElementById("pieces");
  const found = document.getElementById("found");
  const nothing = document.getElementById("nothing");
  const words = document.getElementById("words");
  const again = form.querySelector("[data-found]");
  const more = form.querySelector(".finder-more");
  const inputs = [...form.querySelectorAll("input[type=checkbox]")];
  const facets = [...new Set(inputs.map((input) => input.name))];
  const data = JSON.parse(document.getElementById("finder-data").textContent);
  const pieces = Array.isArray(data) ? wholeList(list, data) : partedList(list, data);

  // The choice: values by facet, and words. Unknown values of an old address are passed over.
  const choice = () => Object.fromEntries(
    facets.map((name) => [name, inputs.filter((input) => input.name === name && input.checked).map((input) => input.value)]));
  const searched = () => plain(words.value).split(/\s+/).filter(Boolean);
  const has = (variant, wanted) => facets.every((name) =>
    !wanted[name].length || wanted[name].some((value) => variant[name].includes(value)));

  // As CLDR gives the rule: French has the singular for 0 and 1, others for 1 alone.
  const plural = new Intl.PluralRules(page.lang || undefined);
  const write = (text) => {
    for (const place of [found, again]) if (place.textContent !== text) place.textContent = text;
  };
  const say = (count) => {
    const form = plural.select(count) === "one" ? "one" : "many";
    const kind = count === 0 ? "none" : count === pieces.count && form === "many" ? "all" : form;
    write(found.dataset[kind].replace("{count}", new Intl.NumberFormat(page.lang).format(count)));
  };

  // Gives the pieces that match, the best first, each with the variant that does, and says which choices are faint: those
  // under which nothing would be left.
  const search = async (wanted, terms, any) => {
    const { variants, of } = await pieces.choices();
    const distance = terms.length ? await pieces.distances(terms) : of.map(() => 0);
    const fits = variants.map((variant) => has(variant, wanted));
    const named = new Set();
    const order = [];
    of.forEach((own, at) => {
      if (distance[at] === Infinity) return;
      for (const variant of own) named.add(variant);
      const fitting = own.findIndex((variant) => fits[variant]);
      if (fitting >= 0) order.push([at, any ? fitting : -1]);
    });
    // What the words name stands before what they only touch; the sort keeps the newest first among equals.
    if (terms.length) order.sort(([one], [other]) => distance[one] - distance[other]);
    const left = [...named].map((variant) => variants[variant]);
    const faint = inputs.filter((input) => {
      const others = { ...wanted, [input.name]: [input.value] };
      return !left.some((variant) => has(variant, others));
    });
    return { order, faint };
  };

  // Of choices in quick succession only the last one is shown.
  let turns = 0;
  const show = async () => {
    const turn = ++turns;
    const last = () => turn === turns;
    const wanted = choice();
    const terms = searched();
    const chosen = inputs.filter((input) => input.checked).length;
    more.dataset.count = chosen || "";
    for (const button of form.querySelectorAll("[data-clear]")) button.hidden = !chosen && !terms.length;
    const late = setTimeout(() => { if (last()) write(found.dataset.looking); }, 300);
    try {
      const { order, faint } = chosen || terms.length ? await search(wanted, terms, chosen > 0) : { order: null, faint: [] };
      if (!last()) return;
      await pieces.show(order, last);
      if (!last()) return;
      for (const input of inputs) input.parentElement.classList.toggle("is-not-made", faint.includes(input));
      nothing.hidden = order === null || order.length > 0;
      say(order === null ? pieces.count : order.length);
    } catch (fault) {
      if (!last()) return;
      await pieces.show(null, last);
      nothing.hidden = true;
      write(found.dataset.failed);
      console.error(fault);
    } finally {
      clearTimeout(late);
    }
  };

  const address = () => {
    const query = new URLSearchParams();
    if (words.value.trim()) query.set("words", words.value.trim());
    for (const input of inputs) if (input.checked) query.append(input.name, input.value);
    const text = query.toString();
    return location.pathname + (text ? `?${text}` : "");
  };
  // Some browsers let no page of a folder change its address: the choice then works, but is not kept.
  const keep = (how) => {
    try {
      if (address() !== location.pathname + location.search) history[how](null, "", address());
    } catch { /* the page goes on without it */ }
  };

  const read = () => {
    const query = new URLSearchParams(location.search);
    words.value = query.get("words") ?? "";
    for (const input of inputs) input.checked = query.getAll(input.name).includes(input.value);
    return show();
  };

  // A step back undoes a choice; while words are typed, the address follows without a step for each letter.
  let typing = false;
  let pause = 0;
  words.addEventListener("input", () => {
    clearTimeout(pause);
    pause = setTimeout(() => {
      show();
      keep(typing ? "replaceState" : "pushState");
      typing = true;
    }, 180);
  });
  words.addEventListener("blur", () => { typing = false; });
  form.addEventListener("change", (event) => {
    if (event.target === words) return;
    show();
    keep("pushState");
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const button of document.querySelectorAll("[data-clear]")) {
    button.addEventListener("click", () => {
      form.reset();
      show();
      keep("pushState");
      found.focus();
    });
  }
  addEventListener("popstate", read);

  form.hidden = false;
  await read();
}

document.addEventListener("DOMContentLoaded", () => begin().finally(() => page.classList.remove("is-finding")));
