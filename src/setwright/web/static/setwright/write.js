// Names of exercises under the text while it is written. The right arrow at the end of a line takes the first one.
const text = document.getElementById("text");
const box = document.getElementById("suggest");
const names = JSON.parse(document.getElementById("names").textContent);
const MOST = 5;

function lineAt() {
  const at = text.selectionStart;
  const start = text.value.lastIndexOf("\n", at - 1) + 1;
  const end = text.value.indexOf("\n", at);
  return { start, at, atEnd: at === (end < 0 ? text.value.length : end) };
}

function typedName(line) {
  const found = /^\s*(?:[A-Z]\d?[.)]?\s+)?(\D{2,})$/.exec(line);
  return found ? found[1].trim().toLowerCase() : "";
}

function matches(typed) {
  const words = typed.split(/[\s-]+/).filter(Boolean);
  if (!words.length) return [];
  const fits = (name) => {
    const parts = name.toLowerCase().split(/[\s,-]+/);
    return words.every((word) => parts.some((part) => part.startsWith(word)));
  };
  const found = names.filter((name) => fits(name) && name.toLowerCase() !== typed);
  found.sort((a, b) => a.length - b.length);
  return found.slice(0, MOST);
}

function take(name) {
  const { start, at } = lineAt();
  const typed = typedName(text.value.slice(start, at));
  const from = at - (text.value.slice(start, at).length - text.value.slice(start, at).toLowerCase().lastIndexOf(typed));
  text.setRangeText(`${name.replaceAll(",", "").replaceAll("/", " ")} `, from, at, "end");
  text.focus();
  text.dispatchEvent(new Event("input", { bubbles: true }));
}

function show() {
  const { start, at, atEnd } = lineAt();
  const found = atEnd ? matches(typedName(text.value.slice(start, at))) : [];
  box.replaceChildren(
    ...found.map((name) => {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "quiet";
      button.textContent = name;
      button.addEventListener("click", () => take(name));
      return button;
    }),
  );
  box.hidden = !found.length;
}

text.addEventListener("input", show);
text.addEventListener("keydown", (event) => {
  if (event.key === "ArrowRight" && !event.shiftKey && !box.hidden && lineAt().atEnd) {
    event.preventDefault();
    take(box.firstElementChild.textContent);
  } else if (event.key === "Escape") {
    box.hidden = true;
  }
});
