// One session of one person as it stands: what is planned, what was logged here or elsewhere, what comes next.

import { itemsOf, keep, marksOf, newKey, setMarks } from "./queue.js";
import { nearestStep, nextSet, oneLess, stopAfter } from "./next.js";

const DAY_MS = 86400000;

export const localDate = (when = new Date()) => `${when.getFullYear()}-${String(when.getMonth() + 1).padStart(2, "0")}-${String(when.getDate()).padStart(2, "0")}`;
const localTime = (when = new Date()) => `${String(when.getHours()).padStart(2, "0")}:${String(when.getMinutes()).padStart(2, "0")}`;

// What a score says that this page wrote: rounds, repetitions, time; nothing of a score in other words.
export function scoreParts(score = "") {
  const counted = /^(cap, )?(\d+) rounds(?: \+ (\d+) reps)?$/.exec(score), made = /^(\d+) of \d+$/.exec(score), timed = /^(\d+):(\d\d)$/.exec(score);
  if (counted) return { rounds: Number(counted[2]), reps: Number(counted[3] ?? 0), end: "part" };
  if (made) return { rounds: Number(made[1]) };
  return timed ? { time_s: 60 * Number(timed[1]) + Number(timed[2]) } : {};
}

export class Session {
  // day: what the server put into the page (services/desk/day.py)
  constructor(day) {
    this.day = day;
    this.key = `${day.trainee}/${day.date}`;
    this.rows = [];
    this.marks = {};
    this.said = []; // choices of this page, also where the browser keeps nothing
    this.choices = {};
  }

  // Reads what this phone knows beside what came with the page.
  async load() {
    let items = [], marks = {};
    try {
      [items, marks] = await Promise.all([itemsOf(this.key), marksOf(this.key)]);
    } catch {
      // a browser that keeps nothing: the page says so
    }
    const rows = new Map(this.day.done.map((row) => [row.row, { ...row, here: false }]));
    for (const item of items) {
      if (item.kind !== "row" || item.state === "refused") continue;
      const known = rows.has(item.key);
      rows.set(item.key, { ...item.data, here: item.state === "waiting" && !known, replaced: item.replaced });
      if (item.replaced) rows.get(item.key).corrects = item.replaced;
    }
    const gone = new Set([...rows.values()].map((row) => row.corrects).filter(Boolean));
    this.rows = [...rows.values()].filter((row) => !gone.has(row.row));
    this.marks = marks;
    this.gather(items);
    this.match();
    this.findStops();
  }

  // What was chosen, here or on another phone: of each thing the later word.
  gather(items) {
    const times = {};
    this.choices = {};
    const hear = (key, thing, value, at) => {
      if ((times[`${key} ${thing}`] ?? "") > at) return;
      times[`${key} ${thing}`] = at;
      this.choices[key] = { ...this.choices[key], [thing]: value };
    };
    for (const [key, things] of Object.entries(this.day.choices ?? {})) for (const [thing, [value, at]] of Object.entries(things)) hear(key, thing, value, new Date(at).toISOString());
    const here = items.filter((item) => item.kind === "choice" && item.state !== "refused").map((item) => item.data);
    for (const { id: _, day: __, entry, at, ...things } of [...here, ...this.said]) for (const [thing, value] of Object.entries(things)) hear(entry, thing, value, at);
  }

  // Keeps a choice: {taken, ended, more, eased, resumed}, any of them; it goes to the server like a row.
  async choose(entry, things) {
    const data = { id: newKey(), day: this.day.date, entry: entry.key, at: new Date().toISOString(), ...things };
    this.said.push(data);
    try {
      await keep({ trainee: this.day.trainee, session: this.key, kind: "choice", data });
    } catch {
      // kept for as long as the page is open
    }
    await this.load();
  }

  choice(entry) {
    return this.choices[entry.key] ?? {};
  }

  // Finds the planned set of each row: by its slot, else by exercise and number.
  match() {
    this.bySlot = new Map();
    const loose = [];
    const planned = [...this.day.entries.map((one) => one.key), "filler"].map((key) => `${this.day.date}/${key}/`);
    const isPlanned = (slot) => slot === this.sessionSlot() || planned.some((one) => slot.startsWith(one));
    for (const row of this.rows) {
      if (row.slot && isPlanned(row.slot)) this.bySlot.set(row.slot, row);
      else loose.push(row); // of an entry that the coach has changed since, or logged elsewhere
    }
    for (const entry of this.day.entries) {
      entry.sets.forEach((_, at) => {
        const slot = this.slot(entry, at + 1), names = [entry.exercise, ...entry.instead.map((one) => one.exercise)];
        if (this.bySlot.has(slot)) return;
        const found = loose.findIndex((row) => names.includes(row.exercise) && Number(row.set) === at + 1 && (row.part ?? entry.part) === entry.part);
        if (found >= 0) this.bySlot.set(slot, loose.splice(found, 1)[0]);
      });
    }
    this.loose = loose;
  }

  // What pain has ended, read from the rows themselves: so every phone and the coach's screen say the same.
  findStops() {
    this.stopped = {};
    this.helpRow = null;
    for (const row of this.rows) {
      const stop = row.exercise || row.note ? stopAfter(row, this.day.law) : null;
      if (!stop) continue;
      if (stop.why === this.day.law.help) this.helpRow = row;
      const own = this.work().find((entry) => (row.slot ?? "").startsWith(`${this.day.date}/${entry.key}/`) || entry.exercise === row.exercise);
      if (own) this.stopped[own.key] = "pain";
      for (const entry of this.loading(row.pain_where ?? "")) this.stopped[entry.key] ??= `it loads the ${row.pain_where}`;
    }
  }

  // Why an entry has ended today, or nothing.
  endOf(entry) {
    const { resumed, ended } = this.choice(entry);
    return (resumed ? "" : this.stopped[entry.key]) || ended;
  }

  async remember(changes) {
    this.marks = { ...this.marks, ...changes };
    try {
      await setMarks(this.key, this.marks);
    } catch {
      // kept for as long as the page is open
    }
  }

  slot(entry, number) {
    return `${this.day.date}/${entry.key}/${number}`;
  }

  logged(entry, number) {
    return this.bySlot.get(this.slot(entry, number));
  }

  // The entry as it is done today: itself, or what was taken instead.
  taken(entry) {
    const { taken } = this.choice(entry);
    return entry.instead.find((one) => one.exercise === taken && !one.waits) ?? entry;
  }

  // How many sets an entry has today: those planned, and what was added.
  count(entry) {
    return this.taken(entry).sets.length + (this.choice(entry).more ?? 0);
  }

  // What of an alternative would be left today, where sets of the entry are done already: 2 x 8 of 3 x 8.
  doseLeft(entry, other) {
    const count = other.sets.length + (this.choice(entry).more ?? 0);
    const done = Array.from({ length: count }, (_, at) => at + 1).filter((number) => this.logged(entry, number)).length;
    if (!done) return other.dose;
    const plain = /^\d+ x ([^,]+)$/.exec(other.dose);
    if (done === count) return `nothing is left of ${other.dose}`;
    return plain ? `${count - done} x ${plain[1]}` : `${other.dose}, ${done === 1 ? "the first set is" : `${done} sets are`} done`;
  }

  planned(entry, number) {
    const sets = this.taken(entry).sets;
    return sets[Math.min(number, sets.length) - 1];
  }

  isEnded(entry) {
    return Boolean(this.endOf(entry));
  }

  warmUp() {
    return this.day.entries.filter((one) => one.part === "warm-up");
  }

  // Whether the warm-up is behind: ticked, left out, or a set of the work is logged.
  isWarm() {
    const drills = this.warmUp();
    return !drills.length || this.marks.warm || drills.some((one) => this.logged(one, 1)) || this.work().some((one) => this.logged(one, 1));
  }

  work() {
    return this.day.entries.filter((one) => one.part !== "warm-up");
  }

  // Every set in the order it is done: entries with the same letter in turn.
  order() {
    const groups = [];
    for (const entry of this.work()) {
      const last = groups.at(-1);
      if (entry.letter && last?.[0].letter === entry.letter && last[0].part === entry.part) last.push(entry);
      else groups.push([entry]);
    }
    return groups.flatMap((group) => {
      if (group[0].bout) return [{ entry: group[0], number: 1 }]; // done and scored as one
      const most = Math.max(...group.map((one) => this.count(one)));
      const turns = [];
      for (let number = 1; number <= most; number += 1) {
        for (const entry of group) if (number <= this.count(entry)) turns.push({ entry, number });
      }
      return turns;
    });
  }

  open() {
    return this.order().filter(({ entry, number }) => !this.isEnded(entry) && !this.logged(entry, number));
  }

  // The set that is on: of the entry that was asked for, else the first one open; null at the end.
  current() {
    const open = this.open();
    return open.find(({ entry }) => entry.key === this.marks.at) ?? open[0] ?? null;
  }

  isOver() {
    return Boolean(this.bySlot.get(this.sessionSlot()));
  }

  sessionSlot() {
    return `${this.day.date}/session`;
  }

  // What a set asks now: {load_kg, reps, hold_s, why}; by the set before it where one was done of the same exercise.
  advice(entry, number) {
    const taken = this.taken(entry), planned = this.planned(entry, number), { eased } = this.choice(entry);
    const before = this.before(entry, number);
    if (planned.table === null || planned.table === undefined) return asPlanned(planned);
    if (before) {
      const found = nextSet(before, taken, planned, this.day.law);
      if (eased === "load" && !found.stop) {
        const less = oneLess(taken, planned, before.load_kg ?? null);
        return asksLess(less, found, taken) ? less : found;
      }
      return found;
    }
    return eased ? oneLess(taken, planned) : asPlanned(planned); // pain goes along to what is taken instead
  }

  // The row of the set before of the same exercise today, with the repetitions of its first part; null where none is.
  before(entry, number) {
    for (let at = number - 1; at >= 1; at -= 1) {
      const row = this.logged(entry, at);
      if (row) return row.exercise === this.taken(entry).exercise ? { ...row, reps: firstPart(row) } : null;
    }
    return null;
  }

  // What a card starts with: the values of a set from its advice, or those of a row that is corrected.
  draft(entry, number, row = null) {
    const taken = this.taken(entry), planned = this.planned(entry, number), advice = this.advice(entry, number);
    const before = this.before(entry, number);
    const kg = row ? row.load_kg : advice.load_kg ?? planned.load_kg;
    const asked = advice.reps ?? planned.reps;
    // The middle of what is asked: whoever only confirms it says neither more nor less than was planned.
    const middle = asked ? Math.floor((asked[0] + asked[1]) / 2) : null;
    const reps = before?.reps && asked && before.reps >= asked[0] && before.reps <= asked[1] ? before.reps : middle;
    return {
      entry, number, row,
      step: kg === null || kg === undefined ? -1 : nearestStep(taken.steps, kg),
      reps: row ? whole(row.reps) : reps ?? null,
      parts: row ? [] : planned.parts.map((one) => one?.[0] ?? 0),
      hold_s: row ? row.hold_s ?? null : advice.hold_s ?? planned.hold_s,
      time_s: row ? row.time_s ?? null : planned.time_s,
      distance_m: row ? row.distance_m ?? null : planned.distance_m,
      heart_rate: row?.heart_rate ?? null,
      power_w: row ? whole(/power_w=(\d+)/.exec(row.dials ?? "")?.[1]) : null,
      rir: row ? row.rir ?? null : null,
      ended_by: row?.ended_by ?? "", pain: row?.pain ?? null, where: whereOf(row), side: sideOf(row),
      kind: row?.pain_kind ?? "", note: row?.note ?? "",
    };
  }

  // The row of a draft in the columns of the log.
  rowOf(draft) {
    const { entry, number } = draft, taken = this.taken(entry), planned = this.planned(entry, number);
    const step = draft.step < 0 ? null : taken.steps[draft.step];
    const hurts = draft.pain !== null && draft.pain > 0 || draft.kind;
    const told = {
      ...this.frame(),
      exercise: draft.row ? draft.row.exercise : taken.exercise,
      set: draft.row ? draft.row.set : this.numberFor(entry, number, taken),
      part: taken.part,
      slot: draft.row?.slot || this.slot(entry, number),
      dials: [this.dials(entry, planned), draft.power_w ? `power_w=${draft.power_w}` : ""].filter(Boolean).join("; "),
      load_kg: step ? step.kg : draft.row ? draft.row.load_kg : null,
      load_means: planned.load_means,
      reps: draft.parts.length && draft.reps !== null ? [draft.reps, ...draft.parts].join("+") : draft.reps,
      rir: draft.rir, hold_s: draft.hold_s, time_s: draft.time_s, distance_m: draft.distance_m,
      heart_rate: draft.heart_rate,
      ended_by: draft.ended_by || null, pain: draft.pain,
      pain_where: hurts ? [draft.where && draft.side, draft.where].filter(Boolean).join(" ") : "",
      pain_kind: draft.kind || null, note: draft.note,
      corrects: draft.row?.row ?? null,
    };
    return bare(told);
  }

  // The row of a bout of conditioning: its score in the trade's words, under its letter, or its only exercise.
  boutRow(entry, score, note, row = null) {
    const { bout } = entry;
    const whose = bout.letter ? { bout: bout.letter } : { exercise: entry.exercise, set: 1, part: entry.part };
    return bare({ ...this.frame(), ...whose, slot: row?.slot || this.slot(entry, 1), score, note, corrects: row?.row ?? null });
  }

  dials(entry, planned) {
    const eased = this.choice(entry).eased === "range" ? "range=less" : "";
    return [planned.dials, eased].filter(Boolean).join("; ");
  }

  // The number of a set in the log: as planned; of what was taken instead, after what was done of it today.
  numberFor(entry, number, taken) {
    if (taken === entry) return number;
    const others = this.rows.filter((row) => row.exercise === taken.exercise && !(row.slot ?? "").includes(`/${entry.key}/`));
    return others.length + number;
  }

  frame() {
    const now = new Date();
    return { row: newKey(), at: now.toISOString(), date: this.on(), week: this.day.week, session: this.day.session, time: this.on() === localDate(now) ? localTime(now) : null };
  }

  // The day that rows are logged for: today, where the session is of this week; else the planned day.
  on() {
    if (this.marks.on) return this.marks.on;
    const now = localDate(), apart = Math.abs(new Date(now) - new Date(this.day.date)) / DAY_MS;
    return apart <= 6 ? now : this.day.date;
  }

  // False where it is written down after the day it was done on: no clock runs then.
  isNow() {
    return this.on() === localDate();
  }

  async log(row) {
    const { here: _, ...data } = row;
    await keep({ trainee: this.day.trainee, session: this.key, kind: "row", data });
    await this.load();
    return row;
  }

  async say(text, about = "", needsCoach = false) {
    const data = { id: newKey(), day: this.on(), at: new Date().toISOString(), about, text, needs_coach: needsCoach };
    await keep({ trainee: this.day.trainee, session: this.key, kind: "note", data });
  }

  async logWarmUp(ticked) {
    for (const entry of ticked) {
      const planned = entry.sets[0];
      const row = { ...this.frame(), exercise: entry.exercise, set: 1, part: "warm-up", slot: this.slot(entry, 1), reps: planned.reps?.[0] ?? null, hold_s: planned.hold_s, time_s: planned.time_s, distance_m: planned.distance_m, ended_by: "planned" };
      await keep({ trainee: this.day.trainee, session: this.key, kind: "row", data: bare(row) });
    }
    await this.remember({ warm: true });
    await this.load();
  }

  // Minutes since the first set of today, or those planned.
  minutes() {
    const times = this.rows.filter((row) => row.time && row.date === localDate()).map((row) => row.time).sort();
    if (!times.length) return this.day.minutes;
    const [hours, minutes] = times[0].split(":").map(Number), now = new Date();
    const passed = now.getHours() * 60 + now.getMinutes() - hours * 60 - minutes;
    return passed > 0 ? Math.max(5, Math.round(passed / 5) * 5) : this.day.minutes;
  }

  // Entries that load the place that hurts and have sets left.
  loading(where) {
    const region = where.replace(/^(left|right) /, "");
    return this.work().filter((entry) => entry.loads.includes(region) && !this.logged(entry, this.count(entry)));
  }
}

const asPlanned = (planned) => ({ load_kg: planned.load_kg, reps: planned.reps, hold_s: planned.hold_s, why: "as planned", stop: false });

function asksLess(one, other, entry) {
  const helped = entry.sets[0].load_means === "assistance";
  if (one.load_kg !== other.load_kg) return helped ? one.load_kg > other.load_kg : (one.load_kg ?? 0) < (other.load_kg ?? 0);
  return (one.reps ?? [0, 0])[1] < (other.reps ?? [0, 0])[1] || (one.hold_s ?? 0) < (other.hold_s ?? 0);
}

// Repetitions of a set, those in parts (12+5+4) added up; null where none were counted.
export function whole(reps) {
  if (reps === null || reps === undefined || reps === "") return null;
  return String(reps).split("+").reduce((sum, one) => sum + Number(one), 0);
}

// Repetitions of the first part of a set: all of them where it was done in one go.
export function firstPart(row) {
  const said = row.dials?.parts ?? row.reps;
  if (said === null || said === undefined || said === "") return null;
  return Number(String(said).split("+")[0]);
}

const sideOf = (row) => /^(left|right) /.exec(row?.pain_where ?? "")?.[1] ?? "";
const whereOf = (row) => (row?.pain_where ?? "").replace(/^(left|right) /, "");

function bare(row) {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null && value !== undefined && value !== ""));
}
