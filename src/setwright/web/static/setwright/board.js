// The board of an hour: asks for its lines again and again, counts down by itself, and says when it is out of touch.
const EVERY_MS = 3000, SILENT_MS = 12000, PAGE_MS = 12000, ON_A_PAGE = 8, TAP_MS = 700;
const place = document.querySelector("[data-board]");
const lines = place.querySelector("[data-part=people]"), touch = place.querySelector("[data-touch]");
const narrow = matchMedia("(max-width: 50rem)"); // there everybody is below one another: see board.css
let heardAt = Date.now(), ahead = 0, page = 0, isOver = false, tappedAt = 0;

async function ask() {
  if (isOver) return;
  const stop = new AbortController(), timer = setTimeout(() => stop.abort(), 8000);
  try {
    const answer = await fetch(place.dataset.board, { cache: "no-store", signal: stop.signal, redirect: "error" });
    if (answer.status === 404) { over(); return; }
    if (!answer.ok) return;
    renew(await answer.text());
    heardAt = Date.now();
    tell();
    touch.hidden = true;
  } catch {
    // said below, once it has lasted
  } finally {
    clearTimeout(timer);
    show();
  }
}

// New parts in the place of the old ones; a finger on a button, the keyboard's place and what is unfolded are kept.
function renew(text) {
  if (Date.now() - tappedAt < TAP_MS) return;
  const held = document.activeElement?.id, unfolded = [...place.querySelectorAll("details[open]")].map((one) => one.id);
  const fresh = document.createElement("template");
  fresh.innerHTML = text;
  for (const part of fresh.content.querySelectorAll("[data-part]")) {
    const old = place.querySelector(`[data-part=${part.dataset.part}]`);
    if (!old) continue;
    if (part.dataset.now) old.dataset.now = part.dataset.now;
    old.replaceChildren(...part.childNodes);
  }
  for (const id of unfolded) document.getElementById(id)?.setAttribute("open", "");
  if (held && document.activeElement?.id !== held) document.getElementById(held)?.focus({ preventScroll: true });
}

// How far the clock of the server is ahead of this one.
function tell() {
  const told = Number(lines.dataset.now) * 1000;
  if (told) ahead = told - Date.now();
}

function over() {
  isOver = true;
  touch.textContent = "This link has ended. Ask the coach for a new one.";
  touch.hidden = false;
}

const spell = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

function show() {
  const now = Date.now() + ahead;
  for (const one of lines.querySelectorAll("[data-until]")) {
    const left = one.querySelector("[data-left]"), until = Number(one.dataset.until) * 1000;
    if (left && until) left.textContent = until > now ? spell(Math.ceil((until - now) / 1000)) : "now";
  }
  const clock = place.querySelector("[data-clock]");
  if (clock) clock.textContent = new Date(now).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  if (place.dataset.screen) turn();
  if (!isOver && Date.now() - heardAt > SILENT_MS) {
    touch.textContent = `Out of touch for ${spell(Math.floor((Date.now() - heardAt) / 1000))}: this may be old.`;
    touch.hidden = false;
  }
}

// More people than fit turn over, in pages of about as many each; on a narrow screen one scrolls.
function turn() {
  const all = [...lines.querySelectorAll("li")], pages = narrow.matches ? 1 : Math.max(1, Math.ceil(all.length / ON_A_PAGE));
  const each = Math.ceil(all.length / pages), at = page % pages;
  all.forEach((one, index) => { one.hidden = pages > 1 && Math.floor(index / each) !== at; });
  const told = place.querySelector("[data-page]");
  if (told) told.textContent = pages > 1 ? `${at + 1} of ${pages}` : "";
}

async function stayAwake() {
  try { await navigator.wakeLock?.request("screen"); } catch { /* a screen that sleeps by itself is set up elsewhere */ }
}

place.addEventListener("pointerdown", () => { tappedAt = Date.now(); });
setInterval(ask, EVERY_MS);
setInterval(show, 1000);
if (place.dataset.screen) {
  setInterval(() => { page += 1; show(); }, PAGE_MS);
  stayAwake();
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { stayAwake(); ask(); } });
}
tell();
show();
