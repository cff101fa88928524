// Small pieces of a page. No markup is ever made from text: what people write is text.

export function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "click") made.addEventListener("click", value);
    else if (name === "change") made.addEventListener("change", value);
    else if (name === "input") made.addEventListener("input", value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children.flat().filter((one) => one !== null && one !== undefined && one !== false && one !== ""));
  return made;
}

let last = 0;
export const freshId = () => `x${++last}`;

export const button = (text, click, more = {}) => el("button", { type: "button", click, ...more }, text);

// A drawing that the page holds already, by the name of its exercise; null where it has none.
export function figure(slug) {
  const symbol = document.getElementById(`fig-${slug}`);
  if (!symbol) return null;
  const space = "http://www.w3.org/2000/svg", made = document.createElementNS(space, "svg"), use = document.createElementNS(space, "use");
  made.setAttribute("viewBox", symbol.getAttribute("viewBox"));
  made.setAttribute("class", "fig");
  made.setAttribute("aria-hidden", "true");
  use.setAttribute("href", `#fig-${slug}`);
  made.append(use);
  return made;
}

// The plates of one side, the largest inside: grey, with numbers, higher where heavier.
export function plates(step) {
  if (!step?.plates?.length) return null;
  const words = `plates on a side, largest inside: ${step.plates.map((one) => one.says).join(", ")}`;
  return el("span", { class: "plates", role: "img", "aria-label": words }, step.plates.map((one) => el("b", { class: `plate plate-${one.height}` }, one.says)));
}

// Plus and minus around a value. less, more: what they do, or null where there is no further.
export function dial(label, value, less, more, name) {
  return el("div", { class: "dial", role: "group", "aria-label": label },
    button("\u2212", less ?? (() => undefined), { "aria-label": `${label}: less`, "data-id": `${name}-less`, disabled: !less }),
    el("span", {}, el("span", { class: "label", "aria-hidden": "true" }, label), el("output", { "data-id": name }, value)),
    button("+", more ?? (() => undefined), { "aria-label": `${label}: more`, "data-id": `${name}-more`, disabled: !more }));
}

// A whole number that may be left out; what is out of its span is not taken.
export function numberField(label, value, [least, most], write, name) {
  const id = freshId(), field = el("input", { id, type: "number", inputmode: "numeric", min: least, max: most, "data-id": name, input: () => write(field.value !== "" && field.checkValidity() ? Number(field.value) : null) });
  field.value = value ?? "";
  return el("div", { class: "field" }, el("label", { for: id }, `${label}, ${least} to ${most}`), field);
}

// One of some choices as large buttons; the chosen one says so.
export function choices(label, options, chosen, choose, name) {
  return el("fieldset", { class: `choices of-${name}` }, el("legend", {}, label),
    el("div", {}, options.map(([value, text, spoken]) => button(text, () => choose(value === chosen ? null : value),
      { "aria-pressed": String(value === chosen), "aria-label": spoken, "data-id": `${name}-${value}`, class: value === chosen ? "" : "quiet" }))));
}

export function select(label, options, chosen, choose, name) {
  const id = freshId();
  return el("div", { class: "field" }, el("label", { for: id }, label),
    el("select", { id, "data-id": name, change: (event) => choose(event.target.value) },
      options.map(([value, text]) => el("option", { value, selected: value === chosen }, text))));
}

export function text(label, value, write, name, rows = 2) {
  const id = freshId(), area = el("textarea", { id, rows, class: "short", maxlength: 2000, "data-id": name, input: (event) => write(event.target.value) });
  area.value = value;
  return el("div", { class: "field" }, el("label", { for: id }, label), area);
}
