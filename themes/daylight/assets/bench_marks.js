// The marking page's memory: what is marked now, every step on the way to it, and what the record is asked to hold.
// Places are in mm here, and in the drawing's own units in the record. No price is worked out in these scripts.
"use strict";

const record = JSON.parse(document.getElementById("record").textContent);

const marks = (() => {
  const listeners = [];
  const toRecord = (drawing, at) =>
    at.map((value) => Number((value / drawing.scale).toFixed(drawing.decimals)));
  const toPage = (drawing, at) => at.map((value) => value * drawing.scale);
  const equal = (one, other) => JSON.stringify(one) === JSON.stringify(other);

  // Across a fold a place lies elsewhere, and a grain at another angle.
  const mirrored = (drawing, [x, y]) => {
    if (!drawing.fold) return null;
    const [atX, atY, alongX, alongY] = drawing.fold;
    const away = (y - atY) * alongX - (x - atX) * alongY;
    return [x + 2 * away * alongY, y - 2 * away * alongX];
  };
  const mirroredGrain = (drawing, grain) => {
    if (grain === null || !drawing.fold) return grain;
    const along = (Math.atan2(-drawing.fold[3], drawing.fold[2]) * 180) / Math.PI;
    return (((2 * along - grain) % 180) + 180) % 180;
  };

  const fresh = () => ({
    by: record.hang.by,
    glass: Object.fromEntries(record.choices.map(({ name, pieces }) => [name, { ...pieces }])),
    drawings: record.drawings.map((drawing) => ({
      fields: drawing.fields.map(({ number, glass, grain, open }) => ({ number, glass, grain, open })),
      rings: drawing.rings,
      wires: (drawing.own.wires ?? []).map((wire) => ({
        ...wire,
        points: wire.points.map((at) => toPage(drawing, at)),
      })),
      fold: drawing.own.fold ? [0, 2].flatMap((index) => toPage(drawing, drawing.own.fold.slice(index, index + 2))) : null,
    })),
  });

  const first = fresh();
  const steps = [JSON.stringify(first)];
  let place = 0;
  let saved = steps[0];
  let now = fresh();

  const tell = () => listeners.forEach((listener) => listener(now));
  const goTo = (step) => {
    place = step;
    now = JSON.parse(steps[place]);
    tell();
  };

  const edit = (change) => {
    change(now);
    tell();
  };
  const keep = () => {
    const step = JSON.stringify(now);
    if (step === steps[place]) return false;
    steps.splice(++place, steps.length, step);
    tell();
    return true;
  };

  const askedPieces = (drawing, present, before) => {
    const pieces = structuredClone(drawing.own.pieces ?? []);
    const gone = new Set();
    const write = (index, alike) => {
      const field = drawing.fields[index];
      const [is, was] = [present.fields[index], before.fields[index]];
      let entry = field.entry === null ? null : pieces[field.entry];
      if (is.open) {
        if (entry) gone.add(entry);
        return;
      }
      if (!entry) pieces.push((entry = { at: toRecord(drawing, field.at) }));
      if (is.number && is.number !== was.number && field.drawn) entry.number = is.number;
      if (is.glass !== was.glass || !alike) entry.glass = is.glass;
      if (is.grain !== null && (is.grain !== was.grain || !alike)) entry.grain = is.grain;
      if (is.grain === null) delete entry.grain;
      if (Object.keys(entry).length === 1) gone.add(entry);
    };
    drawing.fields.forEach((field, index) => {
      if (!field.drawn) return;
      const pair = field.twin === null ? [index] : [index, field.twin];
      if (pair.every((each) => equal(present.fields[each], before.fields[each]))) return;
      const [own, other] = pair.map((each) => present.fields[each]);
      const alike =
        !other ||
        (drawing.fields[field.twin].entry === null &&
          own.glass === other.glass &&
          (own.grain === null) === (other.grain === null) &&
          Math.abs((mirroredGrain(drawing, own.grain) ?? 0) - (other.grain ?? 0)) < 0.2);
      (alike ? [index] : pair).forEach((each) => write(each, alike));
    });
    return pieces.filter((entry) => !gone.has(entry));
  };

  const askedOpen = (drawing, present, before) => {
    const open = structuredClone(drawing.own.open ?? []);
    const closed = new Set();
    drawing.fields.forEach((field, index) => {
      if (present.fields[index].open === before.fields[index].open || !field.drawn) return;
      if (present.fields[index].open) open.push(toRecord(drawing, field.at));
      else [index, field.twin].forEach((each) => closed.add(drawing.fields[each]?.opened ?? null));
    });
    return open.filter((_, index) => !closed.has(index));
  };

  // Of two rings that mirror each other, the record holds one.
  const askedRings = (drawing, rings) => {
    const near = (one, other) => Math.hypot(one[0] - other[0], one[1] - other[1]) < 0.2;
    const half = rings.filter((ring, index) => {
      const image = mirrored(drawing, ring);
      return !image || near(image, ring) || !rings.slice(0, index).some((other) => near(other, image));
    });
    return half.map((ring) => toRecord(drawing, ring));
  };

  const askedMarks = (index) => {
    const [drawing, present, before] = [record.drawings[index], now.drawings[index], first.drawings[index]];
    const asked = { ...drawing.own };
    delete asked.joins;
    asked.pieces = askedPieces(drawing, present, before);
    asked.open = askedOpen(drawing, present, before);
    if (!equal(present.rings, before.rings)) asked.rings = askedRings(drawing, present.rings);
    if (!equal(present.wires, before.wires)) {
      asked.wires = present.wires.map((wire) => ({ ...wire, points: wire.points.map((at) => toRecord(drawing, at)) }));
    }
    if (!equal(present.fold, before.fold)) {
      asked.fold = present.fold && [0, 2].flatMap((end) => toRecord(drawing, present.fold.slice(end, end + 2)));
    }
    return Object.fromEntries(Object.entries(asked).filter(([, value]) => value && value.length));
  };

  // Every choice names every glass word that is used, and no other.
  const askedGlass = () => {
    const used = new Set(now.drawings.flatMap(({ fields }) => fields.filter(({ open }) => !open).map(({ glass }) => glass)));
    const kept = Object.entries(now.glass).map(([choice, pieces]) => [
      choice,
      Object.fromEntries(Object.entries(pieces).filter(([word]) => used.has(word))),
    ]);
    return Object.fromEntries(kept);
  };

  return {
    edit,
    keep,
    mirrored,
    mirroredGrain,
    toPage,
    listen: (listener) => listeners.push(listener),
    get now() {
      return now;
    },
    get canUndo() {
      return place > 0;
    },
    get canRedo() {
      return place < steps.length - 1;
    },
    get isSaved() {
      return steps[place] === saved;
    },
    undo: () => goTo(Math.max(place - 1, 0)),
    redo: () => goTo(Math.min(place + 1, steps.length - 1)),
    noteSaved: (step) => {
      saved = step;
    },
    step: () => steps[place],
    asked: () => ({
      product: record.product,
      seen: record.seen,
      by: now.by,
      glass: askedGlass(),
      marks: Object.fromEntries(record.drawings.map(({ part }, index) => [part, askedMarks(index)])),
    }),
  };
})();
