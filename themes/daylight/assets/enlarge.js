// Each photo is a link to itself at its largest. With this script it opens over the page: fingers and the keys + and -
// enlarge it further, arrow keys move it or step to the photo beside it, Escape closes it.
"use strict";

const large = document.getElementById("large");
const links = [...document.querySelectorAll("a.enlarge")];

if (large?.showModal && links.length) {
  const room = large.querySelector(".large-room");
  const MOST = 4;
  let shown = 0;
  let times = 1;

  const size = (wanted) => {
    const before = times;
    times = Math.max(1, Math.min(MOST, wanted));
    const middle = [room.scrollLeft + room.clientWidth / 2, room.scrollTop + room.clientHeight / 2];
    room.style.setProperty("--times", times);
    room.scrollTo((middle[0] * times) / before - room.clientWidth / 2, (middle[1] * times) / before - room.clientHeight / 2);
  };
  const open = (index) => {
    shown = (index + links.length) % links.length;
    const small = links[shown].querySelector("picture img");
    const image = new Image(small.width, small.height);
    image.alt = small.alt;
    image.src = links[shown].href;
    room.replaceChildren(image);
    size(1);
    if (!large.open) large.showModal();
    room.focus();
  };

  links.forEach((link, index) => link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    open(index);
  }));
  large.addEventListener("click", (event) => {
    const what = event.target.closest("[data-large]")?.dataset.large;
    if (what === "close" || event.target === large) large.close();
    if (what === "larger") size(times * 1.5);
    if (what === "smaller") size(times / 1.5);
  });
  large.addEventListener("keydown", (event) => {
    if (event.key === "+" || event.key === "=") size(times * 1.5);
    if (event.key === "-") size(times / 1.5);
    if (times === 1 && event.key === "ArrowRight") open(shown + 1);
    if (times === 1 && event.key === "ArrowLeft") open(shown - 1);
  });
  large.addEventListener("close", () => links[shown].focus());

  // Two fingers: the photo grows as they part.
  const fingers = new Map();
  let apart = 0;
  const distance = () => {
    const [a, b] = [...fingers.values()];
    return Math.hypot(a.x - b.x, a.y - b.y);
  };
  room.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (fingers.size === 2) apart = distance() / times;
  });
  room.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (fingers.size === 2 && apart) size(distance() / apart);
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
    room.addEventListener(end, (event) => fingers.delete(event.pointerId));
  }
}
