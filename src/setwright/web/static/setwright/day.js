// The session on the floor: one large card for the set that is on. Several people may have one each on a screen.

import { button, choices, dial, el, figure, numberField, plates, select, text } from "./dom.js";
import { afterPain, hurtForm, painFields, sentence } from "./hurt.js";
import { nextSet, oneLess } from "./next.js";
import { keepPages, sendNow, startPocket } from "./pocket.js";
import { Session, firstPart, localDate, scoreParts } from "./session.js";
import { allowSound, clockText, secondsHeld, secondsLeft, signal, stayAwake } from "./timers.js";

const ENDED = [["", "as it was planned, or not said"], ["planned", "as planned"], ["muscle", "the muscle: one more was tried and failed"], ["form", "form went"], ["balance", "balance"], ["grip", "grip"], ["breath", "breath"], ["pain", "pain"]];
const LEFT = [[0, "0", "none"], [1, "1", "one"], [2, "2", "two"], [3, "3", "three"], [4, "4+", "four or more"]];
const EFFORT = [[0, "rest"], [1, "very easy"], [2, "easy"], [3, "moderate"], [4, "somewhat hard"], [5, "hard"], [6, "hard"], [7, "very hard"], [8, "very hard"], [9, "almost all out"], [10, "all out"]];

const LOOK_MS = 20000;

class Card {
  constructor(root) {
    this.root = root;
    this.session = new Session(JSON.parse(root.querySelector("script[type='application/json']").textContent));
    this.place = root.querySelector("[data-card]");
    this.said = root.querySelector("[data-said]");
    this.panel = null; // what stands in the place of the card: {kind, ...}
    this.draft = null;
    this.clocks = [];
  }

  // The card from its top, after what was done at its end.
  show() {
    this.root.scrollIntoView({ block: "start" });
  }

  async start() {
    await this.session.load();
    this.draw();
    this.place.hidden = false;
    setInterval(() => this.tick(), 250);
    document.addEventListener("visibilitychange", () => this.tick());
    setInterval(() => this.lookForChange(), LOOK_MS);
    document.addEventListener("visibilitychange", () => this.lookForChange());
  }

  // What the coach changed is here within seconds: at once where nothing is half written, else with a word.
  // What was logged or chosen on another phone joins what is known here; a card that is half filled in stays.
  async lookForChange() {
    if (document.visibilityState !== "visible" || this.isChanged) return;
    const { day } = this.session;
    try {
      const asked = new URLSearchParams({ on: day.date, told: day.told ?? "" });
      const answer = await fetch(`/t/${day.trainee}/now/?${asked}`, { credentials: "same-origin", cache: "no-store" });
      if (!answer.ok) return;
      const { block, own, ...came } = await answer.json();
      this.isChanged = block !== day.block || own !== day.own;
      if (!this.isChanged && came.told) {
        Object.assign(day, came);
        await this.reload();
      }
    } catch {
      return; // no network: later
    }
    if (!this.isChanged) return;
    if (cards.every((one) => !one.panel && !one.draft?.touched)) location.reload();
    else this.said.replaceChildren("Your coach has changed this session. ", button("Show it", () => location.reload(), { class: "quiet" }));
  }

  async reload() {
    await this.session.load();
    if (!this.panel && !this.draft?.touched) this.draft = null;
    this.draw();
  }

  // Draws all anew; whoever had the focus has it again.
  draw() {
    const held = this.place.contains(document.activeElement) ? document.activeElement.dataset.id : null;
    this.clocks = [];
    this.place.replaceChildren(...[this.panelOf() ?? this.cardOf(), this.listOf()].flat().filter(Boolean));
    if (held) this.place.querySelector(`[data-id="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
    this.tick();
  }

  say(words) {
    this.said.textContent = words;
  }

  // What stands in the place of the card.
  panelOf() {
    const panel = this.panel, { session } = this;
    if (session.helpRow && !panel) return this.helpCard();
    if (!panel) return null;
    if (panel.kind === "hurt") {
      return hurtForm(panel.draft, session.day.regions, () => this.draw(), () => this.keepPain(panel.draft), () => this.close());
    }
    if (panel.kind === "pain") return afterPain({ ...panel, chosen: (way) => this.choose(panel, way) });
    if (panel.kind === "instead") return this.insteadCard(panel.entry);
    if (panel.kind === "correct") return panel.entry ? this.boutCard(panel.entry, panel.row) : this.setCard(panel.draft, true);
    if (panel.kind === "finish") return this.finishCard();
    return null;
  }

  close() {
    this.panel = null;
    this.draw();
    this.show();
  }

  cardOf() {
    const { session } = this, current = session.current();
    if (session.isOver()) return this.overCard();
    if (!session.isWarm()) return this.warmUpCard();
    if (!current) return this.finishCard();
    if (current.entry.bout) return [this.restOf(), this.boutCard(current.entry)];
    if (!this.draft || this.draft.entry !== current.entry || this.draft.number !== current.number || this.draft.taken !== session.taken(current.entry)) {
      this.draft = { ...session.draft(current.entry, current.number), taken: session.taken(current.entry) };
    }
    return [this.restOf(), this.setCard(this.draft, false)];
  }

  // The one large card: the set that is on, or a row that is corrected.
  setCard(draft, isCorrection) {
    const { session } = this, { entry, number } = draft, taken = session.taken(entry), planned = session.planned(entry, number);
    const advice = session.advice(entry, number), count = session.count(entry);
    const again = () => { draft.touched = true; this.draw(); };
    const step = draft.step < 0 ? null : taken.steps[draft.step];
    const before = session.before(entry, number);
    return el("section", { class: "card now", "aria-label": isCorrection ? "Correct a set" : "The set that is on" },
      figure(taken.exercise),
      el("h2", {}, boxed(entry.letter), taken.name, taken.dials ? el("span", { class: "faint" }, ` (${taken.dials})`) : null),
      el("p", { class: "count" }, isCorrection ? `Correcting ${numbered(taken, number)}` : `${sentenceStart(numbered(taken, number))} of ${count}`),
      el("p", { class: "what" }, saysOf(advice, planned, taken)),
      planned.effort ? el("p", { class: "faint" }, planned.effort) : null,
      taken.heading ? el("p", { class: "faint" }, taken.heading) : null,
      before && advice.why !== "as planned" ? el("p", { class: "why", "data-id": "why" }, sentence(advice.why)) : null,
      session.choice(entry).eased === "range" ? el("p", { "data-id": "less-far" }, el("strong", {}, "Less range: only as far as it is free of pain.")) : null,
      planned.note ? el("p", { class: "small faint" }, planned.note) : null,
      ...this.careful(entry, taken, number),
      taken !== entry && !isCorrection ? el("p", { class: "small faint" }, `In the place of ${entry.said}. `, button("Back to it", () => this.takeBack(entry), { class: "plain" })) : null,
      number === 1 && !isCorrection && taken.ramp.length ? this.rampOf(entry, taken) : null,
      step ? this.loadDial(draft, taken, again) : null,
      ...this.countDials(draft, planned, again),
      ...(taken.piece && !planned.hold_s ? this.pieceOf(draft, planned, taken.piece, again) : []),
      planned.hold_s || (planned.time_s && planned.time_s <= 120) ? this.holdOf(draft, planned) : null,
      draft.reps !== null && planned.kind !== "hold" ? choices("How many more were left?", LEFT, draft.rir, (value) => { draft.rir = value; again(); }, "left") : null,
      el("div", { class: "stay" }, button(isCorrection ? "Keep the correction" : `Log ${numbered(taken, number)}`, () => this.logSet(draft, isCorrection), { class: "big", "data-id": "log" })),
      isCorrection ? el("p", { class: "deeds" }, button("Leave it as it was", () => this.close(), { class: "quiet" })) : this.waysOut(entry),
      this.moreOf(draft, again));
  }

  // What the coach says of this exercise, and what to be careful of; in full before the first set, folded after it.
  careful(entry, taken, number) {
    const cues = [...this.root.parentElement.querySelectorAll(`article[data-exercise="${CSS.escape(taken.exercise)}"] .cue`)];
    const words = cues.filter((one) => one.matches("p")).map((one) => el("p", { class: "cue" }, one.textContent));
    const file = cues.find((one) => !one.matches("p")), article = file?.closest("article");
    const look = article ? el("p", {}, el("a", { href: `#${article.id}` }, "Your coach's photo or clip")) : null;
    const cautions = taken === entry ? entry.cautions : [];
    const lines = [...words, look, ...cautions.map((one) => el("p", { class: "small" }, el("strong", {}, "Careful: "), one))].filter(Boolean);
    if (number === 1) lines.push(...(entry.why && taken === entry ? [this.fold("why", "Why this", el("p", { class: "small" }, entry.why))] : []));
    if (!lines.length) return [];
    return number === 1 ? lines : [this.fold("careful", "Cues and cautions", ...lines)];
  }

  // A bout of conditioning: all its movements, one clock, one score; or the score that is corrected.
  boutCard(entry, row = null) {
    const { session } = this, { bout } = entry, slot = session.slot(entry, 1);
    const isTimed = bout.kind === "rounds-for-time";
    if (this.bout?.slot !== slot || this.bout.row !== row) {
      this.bout = { slot, row, rounds: isTimed ? 0 : bout.rounds ?? 0, reps: 0, time_s: null, end: null, note: row?.note ?? "", ...scoreParts(row?.score) };
    }
    const told = this.bout, again = () => this.draw();
    const one = (name, label, most) => dial(label, String(told[name] ?? 0), (told[name] ?? 0) > 0 ? () => { told[name] -= 1; again(); } : null,
      (told[name] ?? 0) < (most ?? Infinity) ? () => { told[name] = (told[name] ?? 0) + 1; again(); } : null, name);
    // Longer than the cap is not finished; else it is what they say.
    const isCapped = Boolean(isTimed && bout.time_s && told.time_s !== null && told.time_s > bout.time_s);
    const isPart = isTimed && (isCapped || told.end === "part");
    const isEmpty = isTimed && !isPart ? !told.time_s : (isPart || bout.kind === "as-many-rounds") && !told.rounds && !told.reps;
    // A whole round is a round: the next one is not done to its last repetition.
    const inRound = bout.round_reps?.[Math.min(told.rounds ?? 0, bout.round_reps.length - 1)], mostReps = inRound ? inRound - 1 : undefined;
    const score = () => {
      if (isTimed && !isPart) return clockText(told.time_s);
      const counted = `${told.rounds} rounds${told.reps ? ` + ${told.reps} reps` : ""}`;
      return isPart ? `${bout.time_s ? "cap, " : ""}${counted}` : bout.kind === "as-many-rounds" ? counted : `${told.rounds} of ${Math.max(told.rounds, bout.rounds ?? told.rounds)}`;
    };
    return el("section", { class: "card now", "aria-label": "Conditioning" },
      el("h2", {}, boxed(bout.letter), bout.heading),
      el("ul", { class: "lines" }, bout.asks.map((words) => el("li", {}, words))),
      row ? null : this.clockOf(slot, bout.time_s, (seconds) => { told.time_s = seconds; }, bout),
      isTimed && !isCapped ? choices("Did you finish?", [["all", "Finished"], ["part", "Not finished"]], isPart ? "part" : "all", (value) => { told.end = value ?? told.end; again(); }, "end") : null,
      isTimed && !isPart ? dial("Time", told.time_s ? `${clockText(told.time_s)} min` : "none yet",
        told.time_s ? () => { told.time_s = Math.max(5, told.time_s - 5); again(); } : null,
        () => { told.time_s = told.time_s === null ? bout.near_s ?? 60 : told.time_s + 5; again(); }, "time_s") : null,
      isTimed && !isPart && !told.time_s ? el("p", { class: "small" }, "Start the clock, or set your time by plus and minus.") : null,
      !isTimed || isPart ? one("rounds", isPart ? "Whole rounds done" : bout.counts ?? "Rounds done", bout.rounds && (isPart ? bout.rounds - 1 : bout.rounds)) : null,
      bout.kind === "as-many-rounds" || isPart ? one("reps", mostReps ? `and repetitions of the next, of ${mostReps + 1}` : "and repetitions of the next", mostReps) : null,
      text("Note", told.note, (value) => { told.note = value; }, "bout-note"),
      button(row ? "Keep the correction" : "Log it", async () => {
        await session.log(session.boutRow(entry, score(), told.note, row));
        if (!row) await session.remember({ hold: null, at: null });
        this.bout = null;
        this.panel = null;
        this.draw();
        this.show();
        this.say(row ? "Corrected." : "It is kept.");
        sendNow();
      }, { class: "big", "data-id": "log", disabled: isEmpty }),
      row ? el("p", { class: "deeds" }, button("Leave it as it was", () => { this.bout = null; this.close(); }, { class: "quiet" })) : this.waysOut(entry));
  }

  // A clock that goes up, with a signal at the end of the time there is, and at each start of a bout that has several.
  clockOf(slot, limit, stopped, bout = null) {
    const { session } = this, hold = session.marks.hold?.slot === slot ? session.marks.hold : null;
    if (!hold) {
      return el("p", { class: "deeds" }, button("Start the clock", async () => {
        allowSound();
        stayAwake(true);
        await session.remember({ hold: { slot, began: Date.now() }, rest: null });
        this.draw();
      }, { class: "quiet", "data-id": "start" }));
    }
    const shown = el("span", {}), turn = bout?.every_s ? el("p", { class: "turn", "data-id": "turn" }) : null;
    const timer = el("span", { class: "timer", role: "timer", "data-id": "held" }, shown, limit ? el("small", {}, ` of ${clockText(limit)}`) : null);
    this.clocks.push(() => {
      const gone = secondsHeld(hold);
      shown.textContent = clockText(gone);
      if (turn) {
        const now = turnAt(bout, gone);
        turn.textContent = limit && gone >= limit ? "The time is up." : now.says;
        if (now.number > (hold.start ?? 0)) {
          hold.start = now.number;
          if (gone < now.began + 3) signal();
          session.remember({ hold });
        }
      }
      if (limit && gone >= limit && !hold.rang) {
        hold.rang = true;
        if (gone < limit + 3) signal();
        session.remember({ hold });
      }
    });
    const line = el("p", { class: "restline" }, timer, button("Stop", async () => {
      stopped(secondsHeld(hold));
      stayAwake(false);
      await session.remember({ hold: null });
      this.draw();
    }, { "data-id": "stop" }));
    return turn ? el("div", {}, line, turn) : line;
  }

  loadDial(draft, taken, again) {
    const step = taken.steps[draft.step];
    const move = (by) => () => { draft.step += by; again(); };
    return [
      dial("Load", step.says, draft.step > 0 ? move(-1) : null, draft.step < taken.steps.length - 1 ? move(1) : null, "load"),
      step.take && step.take !== step.says ? el("p", { class: "take" }, plates(step), ` ${step.take}`) : null,
    ];
  }

  countDials(draft, planned, again) {
    const change = (name, by, least = 0) => () => { draft[name] = Math.max(least, draft[name] + by); again(); };
    const one = (name, label, by, words) => draft[name] === null || draft[name] === undefined ? null
      : dial(label, words(draft[name]), draft[name] > 0 ? change(name, -by) : null, change(name, by), name);
    const side = planned.says.includes("each side") ? ", each side" : "";
    return [
      one("reps", `Repetitions${side}`, 1, String),
      ...draft.parts.map((count, at) => dial(`Then, part ${at + 2}`, String(count), count > 0 ? () => { draft.parts[at] -= 1; again(); } : null, () => { draft.parts[at] += 1; again(); }, `part-${at}`)),
      one("hold_s", "Seconds held", 1, (value) => `${value} s`),
      one("distance_m", "Metres", 5, (value) => `${value} m`),
      planned.distance_m && !planned.time_s ? null : one("time_s", "Time", draft.time_s >= 180 ? 60 : 10, (value) => (value >= 120 ? `${clockText(value)} min` : `${value} s`)),
    ].filter(Boolean);
  }

  // A clock for a piece of conditioning, and the time that its metres took.
  pieceOf(draft, planned, piece, again) {
    const slot = this.session.slot(draft.entry, draft.number), stopped = (seconds) => { draft.time_s = seconds; draft.touched = true; };
    if (planned.time_s) return planned.time_s > 120 ? [this.clockOf(slot, planned.time_s, stopped)] : [];
    const less = draft.time_s ? () => { draft.time_s = Math.max(1, draft.time_s - 1); again(); } : null;
    const more = () => { draft.time_s = draft.time_s ? draft.time_s + 1 : piece.near_s ?? 60; again(); };
    return [this.clockOf(slot, null, stopped), dial("Time it took", draft.time_s ? `${clockText(draft.time_s)} min` : "none yet", less, more, "time_s")];
  }

  // The way up to the working load, ticked on this phone only.
  rampOf(entry, taken) {
    const done = this.session.marks.ramp?.[entry.key] ?? 0;
    const tick = (at) => async () => { await this.session.remember({ ramp: { ...this.session.marks.ramp, [entry.key]: done > at ? at : at + 1 } }); this.draw(); };
    return this.fold("ramp", `Up to it: ${taken.ramp.map((one) => one.says).join(", ")}`,
      taken.ramp.map((one, at) => el("label", { class: "row" },
        el("input", { type: "checkbox", checked: done > at, "data-id": `ramp-${at}`, change: tick(at) }), ` ${one.says}`, one.take ? el("span", { class: "faint small" }, ` ${one.take}`) : null)));
  }

  // What else can be said of a set.
  moreOf(draft, again) {
    const open = draft.isOpen || Boolean(draft.row), { piece } = this.session.taken(draft.entry);
    const made = el("details", { open },
      el("summary", { "data-id": "more" }, piece ? "Heart rate, why it ended, pain, a note" : "Why it ended, pain, a note"),
      piece ? numberField("Mean heart rate", draft.heart_rate, [30, 240], (value) => { draft.heart_rate = value; draft.touched = true; }, "heart-rate") : null,
      piece?.is_watts ? numberField("Mean watts", draft.power_w, [1, 2000], (value) => { draft.power_w = value; draft.touched = true; }, "watts") : null,
      select("Why the set ended", ENDED, draft.ended_by, (value) => { draft.ended_by = value; again(); }, "ended"),
      ...painFields(draft, this.session.day.regions, again),
      text("Note to this set", draft.note, (value) => { draft.note = value; draft.touched = true; }, "note"));
    made.addEventListener("toggle", () => { draft.isOpen = made.open; });
    return made;
  }

  waysOut(entry) {
    const { session } = this;
    return el("div", { class: "deeds ways" },
      button("It hurts", () => this.hurts(), { class: "quiet", "data-id": "hurts" }),
      entry.part === "conditioning" || entry.bout ? null
        : button("No such machine", () => { this.panel = { kind: "instead", entry }; this.draw(); this.show(); }, { class: "quiet", "data-id": "instead" }),
      button("Leave the rest of it out", () => this.end(entry, "left out"), { class: "quiet", "data-id": "leave" }));
  }

  hurts() {
    this.say(""); // what would be next is not, for now
    const current = this.session.current();
    if (current?.entry.bout) this.draft = this.session.draft(current.entry, 1);
    this.panel = { kind: "hurt", draft: { ...this.draft, ended_by: "pain", rir: null, reps: this.draft.reps === null ? null : 0, parts: [], pain: null, kind: "" } };
    this.draw();
    this.show();
    this.place.querySelector("select")?.focus({ preventScroll: true });
  }

  async keepPain(draft) {
    const row = await this.session.log(this.session.rowOf(draft));
    sendNow();
    this.painSaid(draft.entry, draft.number, row);
  }

  // What pain in a row means for the rest of the session.
  async painSaid(entry, number, row) {
    const { session } = this, taken = session.taken(entry), after = Math.min(number + 1, taken.sets.length), planned = taken.sets[after - 1];
    const done = { ...row, reps: firstPart(row) };
    const answer = planned.table === null || planned.table === undefined ? stayed(planned) : nextSet(done, taken, planned, session.day.law);
    const isHelp = answer.why === session.day.law.help;
    // What was taken up again ends again.
    if (answer.stop) for (const one of new Set([entry, ...session.loading(row.pain_where ?? "")])) if (session.choice(one).resumed) await session.choose(one, { resumed: false });
    const resting = answer.stop && !isHelp ? session.loading(row.pain_where ?? "").filter((one) => one !== entry) : [];
    const less = planned.table === null || planned.table === undefined ? null : oneLess(taken, planned, done.load_kg ?? null);
    this.draft = null;
    this.panel = { kind: "pain", entry, number, answer, isHelp, resting: resting.map((one) => one.said), less: less ? saysOf(less, planned, taken) : "", of: less?.load_kg ? "Less load" : "An easier set", name: taken.name, said: taken.said };
    this.draw();
    this.place.querySelector("button")?.focus({ preventScroll: true });
    this.show();
  }

  // Less range, less load or an end: always allowed at once; the coach is told.
  async choose({ entry, answer, less, of, name, said }, way) {
    const { session } = this;
    if (way === "end" && answer.stop) {
      // ended by the row itself
    } else if (way === "end") {
      await session.choose(entry, { ended: "pain" });
      await session.say(`Ended ${said} because it hurt.`, name, true);
    } else {
      await session.choose(entry, { eased: way });
      await session.say(way === "load" ? `Goes on with ${of.toLowerCase()} in ${said} after pain: ${less}.` : `Goes on with less range in ${said} after pain.`, name, true);
    }
    this.draft = null;
    this.close();
    sendNow();
  }

  helpCard() {
    return el("section", { class: "card now hurt", role: "alert" }, el("h2", {}, "Stop. Get help."), el("p", {}, this.session.day.law.help),
      el("p", {}, "Your coach is told. Nothing more is shown of this session."),
      el("p", { class: "deeds" }, button("It was a slip of the finger: correct what was logged", () => this.correctHelp(), { class: "quiet", "data-id": "slip" })));
  }

  correctHelp() {
    const { session } = this, row = session.helpRow;
    const found = session.order().find(({ entry, number }) => session.logged(entry, number) === row);
    if (!found) return;
    this.panel = { kind: "correct", draft: session.draft(found.entry, found.number, row) };
    this.draw();
    this.show();
  }

  // What may be taken instead, in one tap; it was approved with the block.
  insteadCard(entry) {
    const { session } = this;
    const take = (one) => async () => {
      if (one.waits) {
        await session.say(`Asks to do ${one.said} instead of ${entry.said} (${one.case}). It asks more of a limited joint, so it waits for you.`, entry.name, true);
        this.say("Your coach is asked. Until then it stays as planned.");
      } else {
        await session.choose(entry, { taken: one.exercise });
        await session.remember({ at: entry.key });
        await session.say(`Took ${one.said} instead of ${entry.said} (${one.case}).`, entry.name);
        this.say(`${one.name} instead. Your coach is told.`);
      }
      this.draft = null;
      this.close();
      sendNow();
    };
    return el("section", { class: "card now", "aria-label": "Instead" },
      el("h2", {}, `Instead of ${entry.said}`),
      el("div", { class: "stack" }, entry.instead.map((one, at) => button([el("span", {},
        el("strong", {}, one.name), el("span", { class: "line small" }, `${one.case}: ${session.doseLeft(entry, one)}${one.sets[0]?.load_kg ? `, ${loadOf(one)}` : ""}`),
        el("span", { class: "line small" }, `Kept: ${one.kept}.${one.lost && one.lost !== "little" ? ` Lost: ${one.lost}.` : ""}${one.waits ? " Waits for your coach." : ""}`))],
      take(one), { class: "big quiet", "data-id": `take-${at}` }))),
      entry.instead.length ? null : el("p", {}, "Nothing else was approved for it."),
      el("div", { class: "stack" },
        button("None of these: ask the coach, and leave it out", async () => {
          await session.say(`There is nothing here for ${entry.said}; none of the alternatives is possible. Left out.`, entry.name, true);
          await this.end(entry, "nothing there");
          sendNow();
        }, { class: "quiet" }),
        button("Go back", () => this.close(), { class: "quiet" })));
  }

  async takeBack(entry) {
    await this.session.choose(entry, { taken: "" });
    this.draft = null;
    this.draw();
    sendNow();
  }

  async end(entry, why) {
    await this.session.choose(entry, { ended: why });
    this.draft = null;
    this.close();
    sendNow();
  }

  async logSet(draft, isCorrection) {
    allowSound();
    const { session } = this, { entry, number } = draft, { hold } = session.marks;
    if (hold?.slot === session.slot(entry, number) && draft.distance_m && !draft.time_s) draft.time_s = secondsHeld(hold);
    const row = session.rowOf(draft);
    await session.log(row);
    this.draft = null;
    this.panel = null;
    if (!isCorrection) await session.remember({ rest: this.restAfter(entry, number), hold: null, at: this.nextOf(entry, number) });
    const hurts = row.pain || row.pain_kind || row.ended_by === "pain";
    if (hurts && !(isCorrection && !row.pain && !row.pain_kind)) await this.painSaid(entry, number, row);
    else this.draw();
    this.show();
    this.say(isCorrection ? "Corrected." : this.panel ? this.keptWords(entry, number) : this.nextWords(entry, number));
    sendNow();
  }

  nextOf(entry, number) {
    const { session } = this;
    return number < session.count(entry) && !entry.letter ? entry.key : null;
  }

  keptWords(entry, number) {
    return `${sentenceStart(numbered(this.session.taken(entry), number))} is kept.`;
  }

  nextWords(entry, number) {
    const next = this.session.current();
    const kept = this.keptWords(entry, number);
    if (!next) return `${kept} That was the last one.`;
    if (next.entry.bout) return `${kept} Next: ${next.entry.bout.heading}.`;
    const advice = this.session.advice(next.entry, next.number), taken = this.session.taken(next.entry);
    return `${kept} Next: ${taken.said}, ${saysOf(advice, this.session.planned(next.entry, next.number), taken)}.`;
  }

  // The rest after a set, by its end; none between the exercises of a superset, nor where the day is over.
  restAfter(entry, number) {
    const { session } = this, seconds = session.planned(entry, number).rest_s, next = session.current();
    const inTurn = next && next.entry !== entry && next.entry.letter && next.entry.letter === entry.letter && next.number === number;
    if (!seconds || !next || inTurn || !session.isNow()) return null;
    return { ends: Date.now() + seconds * 1000, total: seconds, after: entry.key };
  }

  restOf() {
    const { session } = this, rest = session.marks.rest;
    if (!rest || !session.isNow()) return null;
    const entry = session.day.entries.find((one) => one.key === rest.after), filler = entry?.filler;
    const left = el("span", { class: "timer", role: "timer", "data-id": "rest" }), bar = el("progress", { max: rest.total, "aria-label": "Rest" });
    this.clocks.push(() => {
      const seconds = secondsLeft(rest);
      left.textContent = seconds > 0 ? clockText(seconds) : "Go";
      bar.value = Math.max(0, rest.total - Math.max(0, seconds));
      if (seconds <= 0 && !rest.rang) {
        rest.rang = true;
        if (seconds > -3) signal();
        session.remember({ rest });
      }
    });
    const slot = filler ? `${session.day.date}/filler/${filler.exercise}/1` : "";
    return el("section", { class: "card rest", "aria-label": "Rest" },
      el("p", { class: "restline" }, el("span", {}, "Rest "), left, button("Skip", async () => { await session.remember({ rest: null }); this.draw(); }, { class: "quiet", "data-id": "skip" })),
      bar,
      filler ? el("p", {}, filler.says, " ", session.bySlot.has(slot) ? el("span", { class: "faint" }, "Done.") : button("Done", () => this.logFiller(filler, slot), { class: "quiet", "data-id": "filler" })) : null);
  }

  async logFiller(filler, slot) {
    const { session } = this;
    await session.log({ ...session.frame(), exercise: filler.exercise, set: 1, part: "filler", slot, ended_by: "planned" });
    this.draw();
    sendNow();
  }

  // The hold timer: knows when it began, so a locked screen loses nothing.
  holdOf(draft, planned) {
    const { session } = this, name = planned.hold_s ? "hold_s" : "time_s", target = planned[name], slot = session.slot(draft.entry, draft.number);
    const hold = session.marks.hold?.slot === slot ? session.marks.hold : null;
    if (!hold) {
      return el("p", { class: "deeds" }, button(planned.hold_s ? "Start the hold" : "Start the clock", async () => {
        allowSound();
        stayAwake(true);
        await session.remember({ hold: { slot, began: Date.now(), target }, rest: null });
        this.draw();
      }, { class: "quiet", "data-id": "start" }));
    }
    const shown = el("span", { class: "timer", role: "timer", "data-id": "held" });
    this.clocks.push(() => {
      const held = secondsHeld(hold);
      shown.textContent = held < target ? `${target - held} s` : `${held} s`;
      if (held >= target && !hold.rang) {
        hold.rang = true;
        if (held < target + 3) signal();
        session.remember({ hold });
      }
    });
    return el("p", { class: "restline" }, shown, button("Stop", async () => {
      draft[name] = secondsHeld(hold);
      draft.touched = true;
      stayAwake(false);
      await session.remember({ hold: null });
      this.draw();
    }, { "data-id": "stop" }));
  }

  warmUpCard() {
    const { session } = this, drills = session.warmUp(), ticked = new Set(session.marks.ticked ?? []);
    const tick = (entry) => async (event) => {
      if (event.target.checked) ticked.add(entry.key);
      else ticked.delete(entry.key);
      await session.remember({ ticked: [...ticked] });
      this.draw();
    };
    const all = ticked.size === 0 || ticked.size === drills.length;
    return el("section", { class: "card now", "aria-label": "Warm-up" }, el("h2", {}, "Warm-up"),
      el("div", { class: "stack" }, drills.map((entry) => el("label", { class: "row tall" }, el("input", { type: "checkbox", checked: ticked.has(entry.key), "data-id": entry.key, change: tick(entry) }),
        ` ${entry.name}`, entry.dials ? ` (${entry.dials})` : "", `, ${entry.dose}`))),
      button(all ? "All done, to the work" : "Keep the ticked ones, to the work", async () => {
        await session.logWarmUp(all ? drills : drills.filter((one) => ticked.has(one.key)));
        this.draw();
        sendNow();
      }, { class: "big", "data-id": "warm" }),
      el("p", { class: "deeds" }, button("Leave it out", async () => { await session.remember({ warm: true }); this.draw(); }, { class: "quiet" })));
  }

  finishCard() {
    const { session } = this;
    this.end_ ??= { rpe: null, minutes: session.minutes(), note: "" };
    const end = this.end_, open = session.open().length, again = () => this.draw();
    return el("section", { class: "card now", "aria-label": "End of the session" },
      el("h2", {}, open ? "End it here" : "That was the last set"),
      choices("How hard was all of it, 0 to 10?", EFFORT.map(([value, words]) => [value, String(value), `${value} of 10, ${words}`]), end.rpe, (value) => { end.rpe = value; again(); }, "rpe"),
      end.rpe === null ? null : el("p", { class: "faint" }, `${end.rpe}: ${EFFORT[end.rpe][1]}`),
      dial("Minutes", String(end.minutes), end.minutes > 5 ? () => { end.minutes -= 5; again(); } : null, () => { end.minutes += 5; again(); }, "minutes"),
      text("Note to this session", end.note, (value) => { end.note = value; }, "end-note"),
      button("Keep the session", async () => {
        const row = { ...session.frame(), slot: session.sessionSlot(), session_rpe: end.rpe, minutes: end.minutes, note: end.note || undefined };
        await session.log(Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null && value !== undefined)));
        await session.remember({ rest: null });
        this.panel = null;
        this.draw();
        this.say("The session is kept.");
        sendNow();
      }, { class: "big", "data-id": "finish", disabled: end.rpe === null }),
      open ? el("p", { class: "deeds" }, button("Go on", () => this.close(), { class: "quiet" })) : null);
  }

  overCard() {
    const { session } = this, row = session.bySlot.get(session.sessionSlot());
    const rows = [...session.bySlot.values()].filter((one) => (one.exercise || one.score) && !["warm-up", "filler"].includes(one.part));
    return el("section", { class: "card", "aria-label": "Done" }, el("h2", {}, row.session_rpe === undefined ? "Did not come" : "Done"),
      row.session_rpe === undefined ? null : el("p", {}, `${countWords(rows)}, ${row.minutes} min, ${row.session_rpe} of 10.`),
      el("p", { class: "faint" }, row.here ? "Kept here on this phone until there is a network." : "It is with your coach."));
  }

  // What was done, with a way to correct it; what is left, with a way to do it first; words to the coach.
  listOf() {
    if (this.panel && this.panel.kind !== "finish") return null;
    const { session } = this, current = session.current();
    const done = session.order().filter(({ entry, number }) => session.logged(entry, number));
    const others = session.loose.filter((row) => row.exercise && row.part !== "warm-up");
    const rows = [...done.map(({ entry, number }) => session.logged(entry, number)), ...others];
    const left = [...new Map(session.open().filter(({ entry }) => entry !== current?.entry).map(({ entry }) => [entry.key, entry])).values()];
    const ended = session.work().filter((one) => session.isEnded(one));
    return [
      this.noShow(),
      this.dateLine(),
      rows.length ? this.fold("done", `Done so far: ${countWords(rows)}`,
        el("ul", { class: "lines" }, done.map(({ entry, number }) => this.doneLine(entry, number)),
          others.map((row) => el("li", {}, `${row.name ?? row.exercise.replaceAll("_", " ")}: ${rowWords(row)}`)))) : null,
      session.isOver() ? null : this.fold("left", "Another order, one set more, an end",
        el("ul", { class: "lines" },
          left.map((entry) => el("li", {}, button(`Do ${this.titleOf(entry)} now`, () => this.doFirst(entry), { class: "quiet" }))),
          ended.map((entry) => el("li", {}, `${this.titleOf(entry)}: ${endWords(session.endOf(entry))}. `,
            this.mayResume(entry) ? button("Take it up again", () => this.resume(entry), { class: "quiet" }) : null)),
          current ? el("li", {}, button(`One set more of ${session.taken(current.entry).said}`, async () => { await session.choose(current.entry, { more: (session.choice(current.entry).more ?? 0) + 1 }); this.draw(); sendNow(); }, { class: "quiet" })) : null,
          el("li", {}, button("End the session here", () => { this.panel = { kind: "finish" }; this.draw(); }, { class: "quiet", "data-id": "end-session" })))),
      this.root.dataset.compact ? null : this.wordsToCoach(),
    ];
  }

  // What an entry is called among others: a bout of several movements is more than its first one.
  titleOf(entry) {
    return entry.bout?.heading.split(",")[0] ?? this.session.taken(entry).name;
  }

  // What pain ended stays ended today; a coach on the floor may decide otherwise where it was another exercise that hurt.
  mayResume(entry) {
    const why = this.session.endOf(entry);
    return why !== "pain" && (!why.startsWith("it loads") || Boolean(this.root.dataset.compact));
  }

  async resume(entry) {
    await this.session.choose(entry, { ended: "", resumed: true });
    await this.doFirst(entry);
    sendNow();
  }

  // Another one first: its card comes into sight, and what stood open for the choice is closed.
  async doFirst(entry) {
    await this.session.remember({ at: entry.key });
    this.open?.delete("left");
    this.draft = null;
    this.say("");
    this.draw();
    this.show();
  }

  // A fold that stays open while the card is drawn anew.
  fold(name, title, ...inside) {
    this.open ??= new Set();
    const made = el("details", { open: this.open.has(name) }, el("summary", { "data-id": `fold-${name}` }, title), ...inside);
    made.addEventListener("toggle", () => (made.open ? this.open.add(name) : this.open.delete(name)));
    return made;
  }

  doneLine(entry, number) {
    const { session } = this, row = session.logged(entry, number), name = row.exercise === entry.exercise ? entry.name : entry.instead.find((one) => one.exercise === row.exercise)?.name ?? row.exercise;
    if (entry.bout) {
      return el("li", {}, `${entry.bout.heading}: ${row.score ?? "done"} `,
        button("Correct", () => { this.panel = { kind: "correct", entry, row }; this.draw(); this.show(); }, { class: "plain", "aria-label": `Correct ${entry.bout.heading}` }));
    }
    return el("li", {}, `${name}, ${numbered(entry, number)}: ${rowWords(row, session.taken(entry))}`,
      row.here ? el("span", { class: "faint" }, " kept here") : null, row.replaced ? el("span", { class: "line small" }, "Logged on another phone too; this one counts.") : null, " ",
      button("Correct", () => { this.panel = { kind: "correct", draft: session.draft(entry, number, row) }; this.draw(); this.show(); }, { class: "plain", "aria-label": `Correct ${name}, ${numbered(entry, number)}` }));
  }

  // In two taps: the person did not come.
  noShow() {
    const { session } = this;
    if (!this.root.dataset.compact || session.rows.length) return null;
    if (!this.asks) return el("p", { class: "deeds" }, button("Did not come", () => { this.asks = true; this.draw(); }, { class: "quiet", "data-id": "no-show" }));
    return el("p", { class: "deeds" }, button("Keep that they did not come", async () => {
      await session.log({ ...session.frame(), slot: session.sessionSlot(), note: "Did not come." });
      this.draw();
      sendNow();
    }, { "data-id": "no-show-sure" }), button("No", () => { this.asks = false; this.draw(); }, { class: "quiet" }));
  }

  dateLine() {
    const { session } = this;
    if (session.day.date === localDate() && !session.marks.on) return null;
    return el("p", { class: "small" }, el("label", { for: `on-${session.day.trainee}` }, "Logged as done on "),
      el("input", { type: "date", id: `on-${session.day.trainee}`, value: session.on(), max: localDate(), change: async (event) => { if (event.target.value) { await session.remember({ on: event.target.value }); this.draw(); } } }));
  }

  wordsToCoach() {
    this.word ??= "";
    return this.fold("word", "Say something to your coach",
      text("Your words", this.word, (value) => { this.word = value; }, "word", 3),
      el("p", { class: "deeds" }, button("Send it", async () => {
        if (!this.word.trim()) return;
        await this.session.say(this.word.trim());
        this.word = "";
        this.draw();
        this.say("Your words are kept, and sent to your coach.");
        sendNow();
      }, { class: "quiet", "data-id": "send-word" })));
  }

  tick() {
    for (const one of this.clocks) one();
  }
}

const stayed = (planned) => ({ load_kg: planned.load_kg, reps: planned.reps, hold_s: planned.hold_s, why: "less, and stop where it rises", stop: false });
// Work by pieces has no sets: intervals, steady work, carries of a finisher.
const numbered = (entry, number) => `${entry.piece ? "piece" : "set"} ${number}`;
const sentenceStart = (words) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
const endWords = (why) => (why === "pain" ? "ended because it hurt" : why.startsWith("it loads") ? `rests today, ${why}` : why);
const loadOf = (entry) => entry.steps.find((one) => one.kg === entry.sets[0].load_kg)?.says ?? `${entry.sets[0].load_kg} kg`;
// How much was done: 4 sets, 1 score.
function countWords(rows) {
  const scores = rows.filter((one) => one.score).length, sets = rows.length - scores;
  return [sets || !scores ? `${sets} ${sets === 1 ? "set" : "sets"}` : "", scores ? `${scores} ${scores === 1 ? "score" : "scores"}` : ""].filter(Boolean).join(", ");
}

const boxed = (letter) => (letter ? [el("span", { class: "letter" }, letter), " "] : "");

// A set in words: 57.5 kg x 4-6. What is not asked otherwise stays as planned.
function saysOf(advice, planned, entry) {
  if (advice.why === "as planned" || advice.stop) return planned.says;
  const step = entry.steps.find((one) => one.kg === advice.load_kg);
  const reps = advice.reps ? (advice.reps[0] === advice.reps[1] ? String(advice.reps[0]) : `${advice.reps[0]}-${advice.reps[1]}`) : "";
  const side = planned.says.includes("each side") ? " each side" : "";
  return [step?.says, reps ? (step ? `x ${reps}` : reps) : "", advice.hold_s && !reps ? `${advice.hold_s} s hold` : ""].filter(Boolean).join(" ") + side;
}

// What was done, in words.
function rowWords(row, entry) {
  const step = entry?.steps?.find((one) => one.kg === row.load_kg);
  const load = step?.says ?? (row.load_kg ? `${row.load_kg} kg` : "");
  const count = row.reps ?? null;
  const work = [count === null ? "" : load ? `${load} x ${count}` : `${count}`, count === null ? load : "", row.hold_s ? `${row.hold_s} s` : "", row.distance_m ? `${row.distance_m} m` : "", row.time_s ? `${clockText(row.time_s)} min` : ""].filter(Boolean).join(", ");
  const left = row.rir === null || row.rir === undefined ? "" : `, ${row.rir}${row.rir >= 4 ? " or more" : ""} left`;
  const pain = row.pain || row.pain_kind ? `, pain ${row.pain ?? ""} ${row.pain_kind ?? ""} ${row.pain_where ?? ""}`.replace(/ +/g, " ").trimEnd() : "";
  return `${work || "done"}${left}${pain}`;
}

const cards = [...document.querySelectorAll("[data-session]")].map((root) => new Card(root));
await Promise.all(cards.map((one) => one.start()));
document.documentElement.dataset.ready = "yes";
await startPocket(document.getElementById("kept"), (was) => was && Promise.all(cards.map((one) => one.reload())));
keepPages([location.pathname + location.search, ...[...document.querySelectorAll("a[data-keep]")].map((one) => new URL(one.href).pathname)]);

// Whose turn it is so many seconds into a bout with several starts; a station has two: its work, then the change.
function turnAt(bout, gone) {
  const start = Math.min(Math.floor(gone / bout.every_s), bout.starts - 1), into = gone - start * bout.every_s, many = bout.asks.length;
  const ask = bout.asks[start % many], began = start * bout.every_s;
  if (!bout.work_s) {
    const left = clockText(bout.every_s - into), then = start + 1 < bout.starts ? `In ${left}: ${bout.asks[(start + 1) % many]}` : `${left} left`;
    return { number: start, began, says: `${bout.start} ${start + 1} of ${bout.starts}: ${ask}. ${then}` };
  }
  const round = `Round ${Math.floor(start / many) + 1} of ${bout.rounds}, station ${(start % many) + 1} of ${many}`;
  if (into < bout.work_s) return { number: 2 * start, began, says: `${round}: ${ask}. ${clockText(bout.work_s - into)} left here` };
  return { number: 2 * start + 1, began: began + bout.work_s, says: `${round} is done. Change to ${bout.asks[(start + 1) % many]} in ${clockText(bout.every_s - into)}` };
}
