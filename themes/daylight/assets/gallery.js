// The gallery slides and its thumbnails lead to each picture without this script. With it, the steps
// before and after appear, the thumbnail of the picture in view is marked, and the page stays still. Where a buyer
// chooses a variant, the drawing takes on its look, and a picture that shows it comes into view.
"use strict";

for (const gallery of document.querySelectorAll(".gallery")) {
  const track = gallery.querySelector(".gallery-track");
  const slides = [...track.children];
  const thumbs = [...gallery.querySelectorAll(".thumbs a")];

  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let shown = 0;

  const show = (index, behavior = calm.matches ? "auto" : "smooth") => {
    const slide = slides[Math.max(0, Math.min(index, slides.length - 1))];
    track.scrollTo({ left: slide.offsetLeft - track.offsetLeft, behavior });
  };

  const steps = [...gallery.querySelectorAll("[data-step]")];
  const mark = (index) => {
    shown = index;
    thumbs.forEach((thumb, i) => {
      if (i === index) thumb.setAttribute("aria-current", "true");
      else thumb.removeAttribute("aria-current");
    });
    for (const step of steps) {
      const end = step.dataset.step === "next" ? slides.length - 1 : 0;
      step.setAttribute("aria-disabled", String(index === end));
    }
  };

  document.addEventListener("variant", ({ detail: { row, part } }) => {
    if (row.dataset.look) gallery.style.cssText = row.dataset.look;
    // Of a size the drawing tells more than any photo.
    const showing = part === "size" ? -1
      : slides.findIndex((slide) => slide.dataset.shows?.split(" ").includes(row.dataset.code));
    const index = showing < 0 ? slides.findIndex((slide) => slide.classList.contains("is-drawing")) : showing;
    if (index >= 0 && index !== shown) {
      show(index, "instant");
      mark(index);
    }
  });
  if (slides.length < 2) continue;

  thumbs.forEach((thumb, index) => {
    thumb.addEventListener("click", (event) => {
      event.preventDefault();
      show(index);
    });
  });
  for (const step of steps) {
    step.hidden = false;
    step.addEventListener("click", () => show(shown + (step.dataset.step === "next" ? 1 : -1)));
  }

  const seen = new IntersectionObserver(
    (entries) => {
      for (const entry of entries) {
        if (entry.isIntersecting) mark(slides.indexOf(entry.target));
      }
    },
    { root: track, threshold: 0.6 },
  );
  slides.forEach((slide) => seen.observe(slide));
  mark(0);
}
