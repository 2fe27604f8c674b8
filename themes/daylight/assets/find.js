// The list of all pieces stands without this script. With it, pieces that do not match the choice are left out, and
// the page's address holds the choice. Nothing is calculated here: words and values are compared.
//
// It is loaded before the page is drawn, so that neither the form nor a list that is still whole is seen to change.
"use strict";

const page = document.documentElement;
page.classList.add("can-find");
if (location.search.length > 1) page.classList.add("is-finding");

const plain = (text) =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLocaleLowerCase(page.lang || undefined);

function begin() {
  const form = document.getElementById("finder");
  const list = document.getElementById("pieces");
  const found = document.getElementById("found");
  const nothing = document.getElementById("nothing");
  const words = document.getElementById("words");
  const again = form.querySelector("[data-found]");
  const more = form.querySelector(".finder-more");
  const inputs = [...form.querySelectorAll("input[type=checkbox]")];
  const facets = [...new Set(inputs.map((input) => input.name))];
  const cards = new Map([...list.children].map((card) => [card.querySelector("a").getAttribute("href"), card]));
  const products = JSON.parse(document.getElementById("finder-data").textContent)
    .map((product) => ({ ...product, words: product.words.map(plain), card: cards.get(product.href) }));

  // The choice: values by facet, and words. Unknown values of an old address are passed over.
  const choice = () => Object.fromEntries(
    facets.map((name) => [name, inputs.filter((input) => input.name === name && input.checked).map((input) => input.value)]));
  const searched = () => plain(words.value).split(/\s+/).filter(Boolean);

  // Words come in ranks: a title, what is said of the piece, its glass. A term counts by the first rank that has it, and
  // the start of a word before its middle.
  const rank = (product, term) => {
    const at = product.words.findIndex((text) => text.includes(term));
    return at < 0 ? Infinity : 2 * at + !` ${product.words[at]}`.includes(` ${term}`);
  };
  const distance = (product, terms) => terms.reduce((sum, term) => sum + rank(product, term), 0);
  const has = (variant, wanted) => facets.every((name) =>
    !wanted[name].length || wanted[name].some((value) => variant[name].includes(value)));
  const matches = (product, wanted, terms) =>
    distance(product, terms) < Infinity &&
    product.variants.some((variant) => has(variant, wanted));
  // A result leads to the variant that was looked for.
  const lead = (product, wanted) => {
    const place = inputs.some((input) => input.checked)
      ? product.places[product.variants.findIndex((variant) => has(variant, wanted))] : "";
    product.card.querySelector("a").setAttribute("href", product.href + (place ? `#${place}` : ""));
  };

  // As CLDR gives the rule: French has the singular for 0 and 1, others for 1 alone.
  const plural = new Intl.PluralRules(page.lang || undefined);
  const say = (count) => {
    const form = plural.select(count) === "one" ? "one" : "many";
    const kind = count === 0 ? "none" : count === products.length && form === "many" ? "all" : form;
    const text = found.dataset[kind].replace("{count}", new Intl.NumberFormat(page.lang).format(count));
    for (const place of [found, again]) if (place.textContent !== text) place.textContent = text;
  };

  const show = () => {
    const wanted = choice();
    const terms = searched();
    let count = 0;
    for (const product of products) {
      const fits = matches(product, wanted, terms);
      product.card.hidden = !fits;
      lead(product, wanted);
      count += fits;
    }
    // What the words name stands before what they only touch; the sort keeps the newest first among equals.
    const order = terms.length ? products.toSorted((one, other) => distance(one, terms) - distance(other, terms)) : products;
    if (order.some((product, index) => list.children[index] !== product.card)) list.append(...order.map(({ card }) => card));
    // A choice under which nothing would be left stays open, but is shown as faint.
    for (const input of inputs) {
      const others = { ...wanted, [input.name]: [input.value] };
      input.parentElement.classList.toggle("is-not-made", !products.some((product) => matches(product, others, terms)));
    }
    const chosen = inputs.filter((input) => input.checked).length;
    more.dataset.count = chosen || "";
    for (const button of form.querySelectorAll("[data-clear]")) button.hidden = !chosen && !terms.length;
    nothing.hidden = count > 0;
    list.hidden = count === 0;
    say(count);
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
    show();
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
  read();
}

document.addEventListener("DOMContentLoaded", () => {
  try {
    begin();
  } finally {
    page.classList.remove("is-finding");
  }
});
