// Writes what is asked as lines of a record's header, in YAML that can be put in place of the same keys.
"use strict";

const linesOf = (() => {
  const plain = /^[a-z][a-z0-9_-]*( [a-z0-9_-]+)*$/i;
  const words = /^(true|false|null|yes|no|on|off|y|n)$/i;
  const isGroup = (value) => value !== null && typeof value === "object";

  // Any other text stands in quotation marks, written as JSON does, which YAML reads.
  const scalar = (value) =>
    typeof value === "number" || (plain.test(value) && !words.test(value)) ? String(value) : JSON.stringify(value);

  const inLine = (value) => {
    if (Array.isArray(value)) return `[${value.map(inLine).join(", ")}]`;
    if (isGroup(value)) return `{${Object.entries(value).map(([key, part]) => `${scalar(key)}: ${inLine(part)}`).join(", ")}}`;
    return scalar(value);
  };

  // What holds groups stands in lines of its own; the rest in one line.
  const lines = (key, value, indent) => {
    const head = `${indent}${scalar(key)}:`;
    const parts = isGroup(value) ? Object.values(value) : [];
    if (Array.isArray(value) && parts.some(isGroup)) return [head, ...value.map((part) => `${indent}  - ${inLine(part)}`)];
    if (!parts.some(isGroup)) return [`${head} ${inLine(value)}`];
    return [head, ...Object.entries(value).flatMap(([name, part]) => lines(name, part, `${indent}  `))];
  };
  const withJoins = (asked, index) => {
    const { joins } = record.drawings[index].own;
    return joins ? { ...asked, joins } : asked;
  };

  return (asked) => {
    const glass = Object.fromEntries(
      record.choices.map(({ name, title }) => [name, { ...(title ? { title } : {}), pieces: asked.glass[name] }]),
    );
    const drawn = record.drawings.map(({ part }, index) => [part, withJoins(asked.marks[part], index)]);
    const main = drawn.find(([part]) => !part)[1];
    const parts = drawn.filter(([part]) => part).map(([part, own]) => [
      part,
      { ...record.parts[part], ...(Object.keys(own).length ? { marks: own } : {}) },
    ]);
    return [
      ...lines("glass", glass, ""),
      ...(asked.by === record.hang.by ? [] : lines("hang", { ...record.hang, by: asked.by }, "")),
      ...(Object.keys(main).length ? lines("marks", main, "") : []),
      ...(parts.some(([, { marks: own }]) => own) ? lines("parts", Object.fromEntries(parts), "") : []),
    ].join("\n");
  };
})();
