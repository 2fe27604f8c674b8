// What a click on the pattern does for each question of the page, undo and redo, and Copy.
"use strict";

const answers = (() => {
  const byId = (id) => document.getElementById(id);
  const { words, say } = pattern;
  const questions = [...document.querySelectorAll(".question")];
  const begun = [];
  const none = () => [];
  const fieldsOf = (now, index) => now.drawings[index].fields;
  const bothSides = (index, field) => {
    const { twin } = record.drawings[index].fields[field];
    return twin === null ? [field] : [field, twin];
  };

  // A glass of the studio that no word stands for gets a word of its own, in every choice.
  const brushWord = () => {
    const { word, glass } = document.querySelector("input[name=brush]:checked").dataset;
    if (word) return word;
    const { now } = marks;
    const known = Object.keys(now.glass[pattern.choice]);
    const same = known.find((each) => now.glass[pattern.choice][each] === glass);
    if (same) return same;
    let name = glass;
    for (let count = 2; known.includes(name); count += 1) name = `${glass}-${count}`;
    marks.edit((changed) => Object.values(changed.glass).forEach((pieces) => (pieces[name] = glass)));
    return name;
  };
  const told = (index, field) => say(pattern.nameOf(index, field));

  const glass = {
    paints: true,
    begun: none,
    field: (index, field) => {
      const word = brushWord();
      const alike = !byId("alike") || byId("alike").checked;
      marks.edit((now) =>
        (alike ? bothSides(index, field) : [field]).forEach((each) => {
          if (!fieldsOf(now, index)[each].open) fieldsOf(now, index)[each].glass = word;
        }),
      );
      told(index, field);
    },
  };

  // Another piece that has the number gets the old one of this.
  const number = {
    begun: none,
    field: (index, field) => {
      const next = byId("next").value.trim();
      if (!next || fieldsOf(marks.now, index)[field].open) return;
      marks.edit((now) => {
        const fields = fieldsOf(now, index);
        const old = fields[field].number;
        const others = fields.filter((each) => each.number === next);
        others.forEach((each) => (each.number = old));
        bothSides(index, field).forEach((each) => (fields[each].number = next));
      });
      if (/^\d{1,6}$/.test(next)) byId("next").value = Number(next) + 1;
      told(index, field);
    },
  };

  const turned = (index, field, grain) => {
    if (fieldsOf(marks.now, index)[field].open) return;
    const drawing = record.drawings[index];
    marks.edit((now) =>
      bothSides(index, field).forEach((each) => {
        const own = each === field ? grain : marks.mirroredGrain(drawing, grain);
        fieldsOf(now, index)[each].grain = own === null ? null : Math.round(own) % 180;
      }),
    );
    told(index, field);
  };
  const grain = {
    begun: none,
    field: (index, field) => {
      const degrees = byId("degrees").value.trim();
      turned(index, field, degrees === "" ? null : ((Number(degrees) % 180) + 180) % 180);
    },
    arrow: (index, field, [x, y], [u, v]) => {
      if (Math.hypot(u - x, v - y) < record.drawings[index].side / 60) return grain.field(index, field);
      const degrees = Math.round((Math.atan2(y - v, u - x) * 180) / Math.PI);
      byId("degrees").value = (degrees + 360) % 180;
      return turned(index, field, (degrees + 360) % 180);
    },
  };

  const ring = {
    begun: none,
    place: (index, at) => {
      if (record.drawings[index].part) return;
      const near = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]) < record.drawings[index].side / 50;
      const image = marks.mirrored(record.drawings[index], at);
      const there = marks.now.drawings[index].rings.some((each) => near(each, at));
      marks.edit((now) => {
        const rings = now.drawings[index].rings.filter((each) => !near(each, at) && !(image && near(each, image)));
        if (!there) rings.push(at, ...(image && !near(image, at) ? [image] : []));
        now.drawings[index].rings = rings;
      });
      say(words(there ? "script_ring_gone" : "script_ring_put"));
    },
  };

  // A proposal stands in place of all rings, its wire in place of another proposal's, and it names its hardware.
  document.querySelectorAll(".proposal").forEach((button, number) =>
    button.addEventListener("click", () => {
      const [drawing] = record.drawings;
      const wiresOf = ({ wires }) => wires.map((way) => ({ points: way.map((at) => marks.toPage(drawing, at)) }));
      const proposed = new Set(drawing.proposals.flatMap(wiresOf).map((wire) => JSON.stringify(wire)));
      marks.edit((changed) => {
        const [now] = changed.drawings;
        changed.by = drawing.proposals[number].by;
        now.rings = drawing.proposals[number].rings.map((at) => marks.toPage(drawing, at));
        now.wires = now.wires.filter((wire) => !proposed.has(JSON.stringify(wire)));
        now.wires.push(...wiresOf(drawing.proposals[number]));
      });
      marks.keep();
      say(words("script_ring_put"));
    }),
  );

  const points = (count, done) => ({
    begun: (index) => (begun[0] === index ? begun.slice(1) : []),
    place: (index, at) => {
      if (begun[0] !== index) begun.splice(0, begun.length, index);
      begun.push(at);
      say(words("script_point", { count: begun.length - 1 }));
      if (begun.length > count) done();
      buttons();
      pattern.show();
    },
  });
  const endWire = () => {
    const [index, ...places] = begun.splice(0, begun.length);
    if (places.length < 2) return;
    marks.edit((now) => now.drawings[index].wires.push({ points: places }));
    marks.keep();
    say(words("script_wire_done"));
  };
  const wire = points(200, endWire);
  const fold = points(2, () => {
    const [index, from, to] = begun.splice(0, begun.length);
    marks.edit((now) => (now.drawings[index].fold = [...from, ...to]));
    say(words("script_fold_done"));
  });

  const open = {
    begun: none,
    field: (index, field) => {
      const sides = bothSides(index, field).map((each) => record.drawings[index].fields[each]);
      if (sides[0].open && sides.every(({ opened }) => opened === null)) {
        say(words("script_drawn"));
        return;
      }
      const word = brushWord();
      marks.edit((now) =>
        bothSides(index, field).forEach((each) => {
          const is = fieldsOf(now, index)[each];
          is.open = !is.open;
          is.glass ??= word;
        }),
      );
      told(index, field);
    },
  };

  const kinds = { glass, number, grain, ring, wire, open, fold };
  const asked = () => questions.find((each) => each.open)?.dataset.question ?? "glass";
  const ask = () => {
    begun.splice(0, begun.length);
    pattern.ask(asked(), kinds[asked()]);
    buttons();
  };
  // Where a browser does not know that one question at a time is open, it is held here.
  questions.forEach((each) =>
    each.addEventListener("toggle", () => {
      if (each.open) questions.filter((other) => other !== each).forEach((other) => (other.open = false));
      ask();
    }),
  );

  const chips = () =>
    document.querySelectorAll(".word").forEach((row) => {
      const select = row.querySelector("select");
      select.value = marks.now.glass[pattern.choice][select.dataset.word];
      row.querySelector(".chip").style.background = record.glasses[select.value].colour;
    });
  const buttons = () => {
    byId("undo").disabled = !marks.canUndo;
    byId("redo").disabled = !marks.canRedo;
    byId("wire-end").disabled = asked() !== "wire" || begun.length < 3;
    byId("wire-away").disabled = !marks.now.drawings.some(({ wires }) => wires.length);
    byId("fold-away").disabled = !marks.now.drawings.some((each) => each.fold);
  };

  document.querySelectorAll(".word select").forEach((select) =>
    select.addEventListener("change", () => {
      marks.edit((now) => (now.glass[pattern.choice][select.dataset.word] = select.value));
      marks.keep();
    }),
  );
  const undo = () => {
    if (begun.length > 1) begun.pop();
    else marks.undo();
    say(words("script_undone"));
    pattern.show();
    buttons();
  };
  const redo = () => {
    marks.redo();
    say(words("script_redone"));
  };
  byId("undo").addEventListener("click", undo);
  byId("redo").addEventListener("click", redo);
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target.matches("input:not([type=radio]), textarea")) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) undo();
    else if (key === "y" || key === "z") redo();
    else return;
    event.preventDefault();
  });
  byId("wire-end").addEventListener("click", endWire);
  const takeLast = (button, text, change) =>
    byId(button).addEventListener("click", () => {
      marks.edit((now) => now.drawings.forEach(change));
      marks.keep();
      say(words(text));
    });
  takeLast("wire-away", "script_wire_away", (drawing) => drawing.wires.pop());
  takeLast("fold-away", "script_fold_away", (drawing) => (drawing.fold = null));

  byId("copy").disabled = false;
  byId("copy").addEventListener("click", async () => {
    const lines = byId("lines");
    lines.value = linesOf(marks.asked());
    byId("lines-place").hidden = false;
    try {
      await navigator.clipboard.writeText(lines.value);
      say(words("script_copied"));
    } catch {
      lines.select();
      say(words(document.execCommand("copy") ? "script_copied" : "script_not_copied"));
    }
  });
  addEventListener("beforeunload", (event) => {
    if (!marks.isSaved) event.preventDefault();
  });

  marks.listen(chips);
  marks.listen(buttons);
  chips();
  ask();
  return { chips };
})();
