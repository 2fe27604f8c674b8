// Shows what is marked on the pattern, and tells which field or place is meant: by mouse, finger or keyboard.
"use strict";

const pattern = (() => {
  const svgs = [...document.querySelectorAll(".drawing")];
  const spotWords = { rim: "script_spot_rim", seam: "script_spot_seam", wire: "script_spot_wire" };
  const onPlaces = ["ring", "wire", "fold"];
  let question = "glass";
  let choice = record.choices[0].name;
  let answer = null;
  let stroke = null;

  const words = (key, values = {}) =>
    record.words[key].replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
  const say = (text) => {
    document.getElementById("said").textContent = text;
  };
  const shape = (name, attributes, parent) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
    parent.append(made);
    return made;
  };

  const glassOf = (word) => record.glasses[marks.now.glass[choice][word]];
  const nameOf = (index, field) => {
    const { number, glass, grain, open } = marks.now.drawings[index].fields[field];
    if (open) return words("script_open");
    const values = { number: number + record.drawings[index].fields[field].side, glass: `${glass}, ${glassOf(glass).title}` };
    return grain === null ? words("script_piece", values) : words("script_piece_grain", { ...values, grain: Math.round(grain) });
  };

  const drawArrow = (drawing, field, grain, group) => {
    const reach = Math.max(field.size, drawing.side / 60);
    const [across, down] = [Math.cos((grain * Math.PI) / 180) * reach, -Math.sin((grain * Math.PI) / 180) * reach];
    const [x, y] = field.at;
    shape("line", { x1: x - across, y1: y - down, x2: x + across, y2: y + down, class: "grain" }, group);
    const head = `M${x + across * 0.6 - down * 0.25} ${y + down * 0.6 + across * 0.25}L${x + across} ${y + down}L${x + across * 0.6 + down * 0.25} ${y + down * 0.6 - across * 0.25}`;
    shape("path", { d: head, class: "grain" }, group);
  };

  const show = () => {
    svgs.forEach((svg, index) => {
      const [drawing, present] = [record.drawings[index], marks.now.drawings[index]];
      const arrows = svg.querySelector(".arrows");
      const set = svg.querySelector(".set");
      arrows.replaceChildren();
      set.replaceChildren();
      const numbers = svg.querySelectorAll(".numbers text");
      svg.querySelectorAll(".field").forEach((path, field) => {
        const is = present.fields[field];
        path.setAttribute("fill", is.open ? "none" : glassOf(is.glass).colour);
        path.classList.toggle("is-open", is.open);
        path.setAttribute("aria-label", nameOf(index, field));
        numbers[field].textContent = is.open ? "" : is.number + drawing.fields[field].side;
        if (!is.open && is.grain !== null) drawArrow(drawing, drawing.fields[field], is.grain, arrows);
      });
      const both = (points, draw) => [points, drawing.fold && points.map((at) => marks.mirrored(drawing, at))].filter(Boolean).forEach(draw);
      const run = (points) => `M${points.map((at) => at.join(" ")).join("L")}`;
      present.wires.forEach((wire) => both(wire.points, (points) => shape("path", { d: run(points), class: "wire" }, set)));
      if (drawing.fold && !present.fold) {
        const [x, y, alongX, alongY] = drawing.fold;
        const far = 2 * drawing.side;
        shape("path", { d: run([[x - far * alongX, y - far * alongY], [x + far * alongX, y + far * alongY]]), class: "fold" }, set);
      }
      if (present.fold) shape("path", { d: run([present.fold.slice(0, 2), present.fold.slice(2)]), class: "fold" }, set);
      present.rings.forEach(([cx, cy]) => shape("circle", { cx, cy, r: drawing.side / 60, class: "ring" }, set));
      const begun = answer?.begun(index) ?? [];
      if (begun.length) shape("path", { d: run(begun), class: "wire begun" }, set);
      begun.forEach(([cx, cy]) => shape("circle", { cx, cy, r: drawing.side / 150, class: "begun" }, set));
    });
  };

  // Only what the open question is about can be reached by keyboard: fields, or places to snap to.
  const items = (svg) => [...svg.querySelectorAll(onPlaces.includes(question) ? ".spot" : ".field")];
  const arrange = () => {
    svgs.forEach((svg, index) => {
      const spots = svg.querySelector(".spots");
      spots.replaceChildren();
      svg.querySelectorAll(".field").forEach((path) => {
        path.setAttribute("role", "img");
        path.removeAttribute("tabindex");
      });
      if (onPlaces.includes(question)) {
        record.drawings[index].spots.forEach(([cx, cy, kind], spot) => {
          if (question === "ring" && kind === "seam") return;
          const values = { x: cx.toFixed(1), y: cy.toFixed(1) };
          const place = { cx, cy, r: record.drawings[index].side / 110, class: "spot", "data-spot": spot };
          shape("circle", { ...place, "aria-label": words(spotWords[kind], values) }, spots);
        });
      }
      items(svg).forEach((item, place) => {
        item.setAttribute("role", "button");
        item.setAttribute("tabindex", place ? -1 : 0);
      });
    });
    show();
  };

  const middle = (item) => {
    const box = item.getBoundingClientRect();
    return [box.x + box.width / 2, box.y + box.height / 2];
  };
  const step = (svg, from, [across, down]) => {
    const [x, y] = middle(from);
    let best = null;
    let least = Infinity;
    items(svg).forEach((item) => {
      const [u, v] = middle(item);
      const ahead = (u - x) * across + (v - y) * down;
      const aside = Math.abs((u - x) * down - (v - y) * across);
      if (item !== from && ahead > 0.5 && ahead + 2 * aside < least) [best, least] = [item, ahead + 2 * aside];
    });
    if (!best) return;
    items(svg).forEach((item) => item.setAttribute("tabindex", item === best ? 0 : -1));
    best.focus();
  };

  const placeOf = (svg, event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [at.x, at.y];
  };
  const fieldAt = (svg, event) => {
    const path = document.elementFromPoint(event.clientX, event.clientY)?.closest(".field");
    return path && svg.contains(path) ? [...svg.querySelectorAll(".field")].indexOf(path) : -1;
  };
  // A place near one where seams or wires meet is that one; by finger, near is farther.
  const snapped = (svg, index, event) => {
    const at = placeOf(svg, event);
    const near = (event.pointerType === "mouse" ? 12 : 22) / svg.getScreenCTM().a;
    const spots = record.drawings[index].spots.filter(([, , kind]) => question !== "ring" || kind !== "seam");
    const [spot, off] = spots
      .map((each) => [each, Math.hypot(each[0] - at[0], each[1] - at[1])])
      .reduce((one, other) => (other[1] < one[1] ? other : one), [null, Infinity]);
    return off <= near ? spot.slice(0, 2) : at;
  };

  svgs.forEach((svg, index) => {
    svg.addEventListener("pointerdown", (event) => {
      if (event.button || !event.isPrimary) return;
      const field = fieldAt(svg, event);
      stroke = { begin: placeOf(svg, event), field };
      if (answer.paints && field >= 0) answer.field(index, field);
      try {
        svg.setPointerCapture(event.pointerId);
      } catch {
        // A pointer that is gone already needs no capture.
      }
    });
    svg.addEventListener("pointermove", (event) => {
      if (!stroke) return;
      const field = fieldAt(svg, event);
      if (answer.paints && field >= 0 && field !== stroke.field) answer.field(index, (stroke.field = field));
    });
    svg.addEventListener("pointerup", (event) => {
      if (!stroke) return;
      const { begin, field } = stroke;
      stroke = null;
      const end = placeOf(svg, event);
      if (onPlaces.includes(question)) answer.place(index, snapped(svg, index, event));
      else if (field >= 0 && answer.arrow) answer.arrow(index, field, begin, end);
      else if (field >= 0 && !answer.paints) answer.field(index, field);
      marks.keep();
    });
    svg.addEventListener("pointercancel", () => {
      stroke = null;
      marks.keep();
    });
    svg.addEventListener("keydown", (event) => {
      const item = event.target.closest(".field, .spot");
      const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
      if (!item || event.ctrlKey || event.metaKey || event.altKey) return;
      if (ways[event.key]) step(svg, item, ways[event.key]);
      else if (event.key === "Enter" || event.key === " ") {
        if (item.matches(".spot")) answer.place(index, record.drawings[index].spots[item.dataset.spot].slice(0, 2));
        else answer.field(index, [...svg.querySelectorAll(".field")].indexOf(item));
        marks.keep();
      } else return;
      event.preventDefault();
    });
  });

  marks.listen(show);
  return {
    words,
    say,
    show,
    nameOf,
    ask: (name, own) => {
      [question, answer] = [name, own];
      arrange();
      document.body.dataset.asked = name;
    },
    showChoice: (name) => {
      choice = name;
      show();
    },
    get choice() {
      return choice;
    },
  };
})();
