// The next set, looked up in the tables that travel with the session. The law is setwright/review/next_set.py; a test
// holds both against each other. Nothing is reckoned here: every load and every repetition comes from a table.

const NOT_THE_MUSCLE = ["form", "balance", "grip", "breath"];
const SAME_KG = 1e-6;
const kilograms = (kg) => kg ?? 0;

// True where words name one of some patterns, as whole words.
export function isNamed(patterns, text) {
  const words = (text || "").toLowerCase().replaceAll("\u2019", "'");
  return patterns.some((one) => new RegExp(`\\b(?:${one})\\b`).test(words));
}

// The kind of licensed professional for the words of a place.
export function whomToSee(law, said) {
  const found = law.see.find(([words]) => isNamed(words, said));
  return (found ?? law.see.at(-1))[1];
}

// [less from, stop from]: pain 0 to 10 at a place; a side in front of it changes nothing.
export function limitAt(law, where) {
  return law.limits[(where || "").replace(/^(left|right) /, "")] ?? law.limits[""];
}

// The table of a planned set after one that was done with a load: its rows, and the answers by number.
function tableAfter(entry, planned, doneKg) {
  const packed = entry.tables[planned.table];
  const at = doneKg === null || doneKg === undefined ? -1 : nearestStep(entry.steps, doneKg);
  const { rows, less } = at < 0 ? packed.bare : packed.steps[at];
  const answer = (number) => entry.answers[number];
  return { rows: rows.map(([from, to, number]) => [from, to, answer(number)]), less: answer(less), stay: answer(packed.stay), helped: packed.helped };
}

// The number of the step that a load is, or is nearest to; -1 where there are none.
export function nearestStep(steps, kg) {
  let best = -1;
  steps.forEach((one, number) => {
    if (best < 0 || Math.abs(one.kg - kg) < Math.abs(steps[best].kg - kg)) best = number;
  });
  return best;
}

// What to do in a planned set after the one before it: {load_kg, reps, hold_s, why, stop}.
// done: load_kg, reps, rir, ended_by, pain, pain_kind, pain_where, note, as they are logged
export function nextSet(done, entry, planned, law) {
  const table = tableAfter(entry, planned, done.load_kg), pain = done.pain ?? 0;
  const [watch] = limitAt(law, done.pain_where);
  const ends = stopAfter(done, law);
  if (ends) return ends;
  const free = byEffort(done, table);
  if (pain >= watch || done.ended_by === "pain") return lighterOf(free, table);
  if (pain || done.pain_kind) return heldAt(free, done, table, `pain ${pain || "without a number"}: nothing goes up`);
  if (NOT_THE_MUSCLE.includes(done.ended_by)) {
    return heldAt(free, done, table, `it ended for ${done.ended_by}, not for the muscle: nothing goes up`);
  }
  return free;
}

// The end that a row with pain asks for, whatever was planned; null where there is none.
export function stopAfter(done, law) {
  const where = done.pain_where || "", pain = done.pain ?? 0, [, stop] = limitAt(law, where);
  if (isNamed(law.signs, done.note) || done.pain_kind === "numb" || isNamed(law.words, where)) return stopping(law.help);
  if (done.pain_kind !== "sharp" && pain < stop) return null;
  const level = done.pain_kind === "sharp" ? "sharp pain" : `pain ${pain} of 10`;
  const rest = "this exercise ends today, and all else that loads the place";
  return stopping(`${level}: ${rest}. See ${whomToSee(law, where)}; no diagnosis`);
}

// What is offered when it hurts before anything was done of an entry, or where less is wanted: one step down.
export function oneLess(entry, planned, doneKg = null) {
  return tableAfter(entry, planned, doneKg).less;
}

function stopping(why) {
  return { load_kg: null, reps: null, hold_s: null, why, stop: true };
}

function byEffort(done, table) {
  if (done.reps === null || done.reps === undefined || !table.rows.length) return table.stay;
  const called = done.rir !== null && done.rir !== undefined;
  let possible;
  if (!called && done.ended_by !== "muscle") {
    const low = table.stay.reps ? table.stay.reps[0] : 0;
    if (done.reps >= low) return table.stay;
    possible = done.reps;
  } else {
    possible = Math.round(done.reps + (done.ended_by === "muscle" ? 0 : done.rir ?? 0) + 1e-9);
  }
  const inside = Math.max(table.rows[0][0], Math.min(table.rows.at(-1)[1], possible));
  return table.rows.find(([from, to]) => from <= inside && inside <= to)[2];
}

function asksMore(one, other, helped) {
  const [mine, theirs] = [one, other].map((each) => (helped ? -kilograms(each.load_kg) : kilograms(each.load_kg)));
  if (Math.abs(mine - theirs) > SAME_KG) return mine > theirs;
  return (one.reps ?? [0, 0])[1] > (other.reps ?? [0, 0])[1];
}

function heldAt(free, done, table, why) {
  const kept = asksMore(free, table.stay, table.helped) ? table.stay : free;
  if (kept.load_kg !== null && done.load_kg !== null && done.load_kg !== undefined) {
    const same = { load_kg: done.load_kg, reps: kept.reps, hold_s: null, why: `${why}, nor over the load just done`, stop: false };
    if (asksMore(kept, same, table.helped)) return same;
  }
  if (kept === free && free !== table.stay) return free;
  return { ...kept, why };
}

function lighterOf(free, table) {
  const less = table.less;
  if (!asksMore(less, free, table.helped)) return less;
  const fewer = free.reps === null || less.reps === null || less.reps[1] < free.reps[1] ? less.reps : free.reps;
  return { ...free, reps: fewer, why: less.why };
}
