// The board of an hour: asks for its lines again and again, counts down by itself, and says when it is out of touch.
const EVERY_MS = 3000, SILENT_MS = 12000, PAGE_MS = 12000, ON_A_PAGE = 8;
const place = document.querySelector("[data-board]");
const lines = place.querySelector("[data-lines]"), touch = place.querySelector("[data-touch]");
let heardAt = Date.now(), ahead = 0, page = 0;

async function ask() {
  const stop = new AbortController(), timer = setTimeout(() => stop.abort(), 8000);
  try {
    const answer = await fetch(place.dataset.board, { cache: "no-store", signal: stop.signal, redirect: "error" });
    if (answer.status === 404) { over(); return; }
    if (!answer.ok) return;
    const text = await answer.text(), held = document.activeElement;
    heardAt = Date.now();
    const told = Date.parse(answer.headers.get("Date") ?? "");
    if (!Number.isNaN(told)) ahead = told - heardAt;
    if (!lines.contains(held)) lines.innerHTML = text;
    touch.hidden = true;
  } catch {
    // said below, once it has lasted
  } finally {
    clearTimeout(timer);
    show();
  }
}

function over() {
  touch.textContent = "This link has ended. Ask the coach for a new one.";
  touch.hidden = false;
  heardAt = Infinity;
}

const spell = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

function show() {
  const now = Date.now() + ahead;
  for (const one of lines.querySelectorAll("[data-until]")) {
    const left = one.querySelector("[data-left]"), until = Number(one.dataset.until) * 1000;
    if (left && until) left.textContent = until > now ? spell(Math.ceil((until - now) / 1000)) : "now";
  }
  const clock = place.querySelector("[data-clock]");
  if (clock) clock.textContent = new Date(now).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  if (place.dataset.screen) turn();
  if (Date.now() - heardAt > SILENT_MS) {
    touch.textContent = `Out of touch for ${spell(Math.floor((Date.now() - heardAt) / 1000))}: this may be old.`;
    touch.hidden = false;
  }
}

// More people than fit turn over, page by page.
function turn() {
  const all = [...lines.querySelectorAll("li")], pages = Math.max(1, Math.ceil(all.length / ON_A_PAGE));
  all.forEach((one, index) => { one.hidden = pages > 1 && Math.floor(index / ON_A_PAGE) !== page % pages; });
}

async function stayAwake() {
  try { await navigator.wakeLock?.request("screen"); } catch { /* a screen that sleeps by itself is set up elsewhere */ }
}

setInterval(ask, EVERY_MS);
setInterval(show, 1000);
if (place.dataset.screen) {
  setInterval(() => { page += 1; show(); }, PAGE_MS);
  stayAwake();
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { stayAwake(); ask(); } });
}
show();
