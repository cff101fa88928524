// "It hurts": stop, where, how bad, sharp or numb; then less, or an end. Never a diagnosis, never a mere exchange.

import { button, choices, dial, el, select, text } from "./dom.js";

const KINDS = [["dull", "dull, aching"], ["sharp", "sharp"], ["numb", "numb, tingling"], ["other", "something else"]];
const WORDS = ["none", ...Array(3).fill("mild"), ...Array(3).fill("medium"), ...Array(3).fill("strong"), "the worst there is"];

// Where and how much, inside any form. draft: where, side, pain, kind; again: draws the form anew.
export function painFields(draft, regions, again) {
  return [
    select("Where", [["", "choose the place"], ...regions.map((one) => [one, one])], draft.where, (value) => { draft.where = value; again(); }, "where"),
    choices("Side", [["left", "left"], ["right", "right"]], draft.side || null, (value) => { draft.side = value ?? ""; again(); }, "side"),
    choices("How bad, 0 to 10", WORDS.map((word, number) => [number, String(number), `${number} of 10, ${word}`]), draft.pain, (value) => { draft.pain = value; again(); }, "pain"),
    choices("What it is like", KINDS.map(([value, words]) => [value, words]), draft.kind || null, (value) => { draft.kind = value ?? ""; again(); }, "kind"),
  ];
}

// The form of "it hurts". save: takes the draft; back: where it was a slip.
export function hurtForm(draft, regions, again, save, back) {
  const isWhole = draft.where && (draft.pain !== null || draft.kind);
  return el("section", { class: "card now hurt", "aria-label": "It hurts" },
    el("h2", {}, "Stop this set."),
    el("p", {}, "Put the load down. Then say what it is."),
    ...painFields(draft, regions, again),
    draft.reps === null ? null : dial("Repetitions done before", String(draft.reps), draft.reps > 0 ? () => { draft.reps -= 1; again(); } : null, () => { draft.reps += 1; again(); }, "reps"),
    text("What happened, in your words", draft.note, (value) => { draft.note = value; }, "note"),
    isWhole ? null : el("p", { class: "small faint" }, "Say where, and how bad or what it is like."),
    button("Tell it", save, { class: "big", disabled: !isWhole, "data-id": "tell" }),
    el("p", { class: "deeds" }, button("It was nothing, go back", back, { class: "quiet" })));
}

// What follows: a stop with its caution, or the ways to go on with less.
// answer: what the rule says; less: the easier set in words, or ""; of: what is less in it; chosen: takes "range", "load" or "end"
export function afterPain({ answer, isHelp, resting, less, of, name, chosen }) {
  if (answer.stop) {
    return el("section", { class: "card now hurt", "aria-label": "Stop", role: "alert" },
      el("h2", {}, isHelp ? "Stop. Get help." : "Stop this exercise."),
      el("p", {}, sentence(answer.why)),
      resting.length ? el("p", {}, `Today these rest too: ${resting.join(", ")}.`) : null,
      el("p", {}, "Your coach is told."),
      button("I have read it", () => chosen("end"), { class: "big", "data-id": "read" }));
  }
  return el("section", { class: "card now hurt", "aria-label": "Less" },
    el("h2", {}, `${name}: less, or an end`),
    el("p", {}, sentence(answer.why)),
    el("p", { class: "small faint" }, "Your coach is told. Stop where it rises. This is no diagnosis."),
    el("div", { class: "stack" },
      less ? button(`${of}: ${less}`, () => chosen("load"), { class: "big quiet", "data-id": "less-load" }) : null,
      button("Less range: only as far as it is free of pain", () => chosen("range"), { class: "big quiet", "data-id": "less-range" }),
      button("End this exercise", () => chosen("end"), { class: "big", "data-id": "end" })));
}

export const sentence = (words) => `${words.charAt(0).toUpperCase()}${words.slice(1).replace(/\.$/, "")}.`;
