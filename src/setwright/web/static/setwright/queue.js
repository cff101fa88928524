// What was logged on this phone: kept here first, sent when there is a network, each entry once.
// An entry stays until the server has said by its key that it keeps it; sent twice, it counts once there.

import { openDB } from "./idb.js";

const NAME = "setwright", MOST_AT_ONCE = 50, PATIENCE_MS = 12000, KEEP_SENT_DAYS = 14;
let opened = null;

function base() {
  opened ??= openDB(NAME, 1, {
    upgrade(made) {
      const items = made.createObjectStore("items", { keyPath: "key" });
      items.createIndex("state", "state");
      items.createIndex("session", "session");
      made.createObjectStore("marks", { keyPath: "session" });
    },
  });
  return opened;
}

// A key of its own for an entry (a UUID of version 4, RFC 9562); also where the page came without TLS.
export function newKey() {
  if (globalThis.crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

// Keeps an entry on the phone. kind: "row" of the log, "note" to the coach or "choice"; gives the item.
export async function keep({ trainee, session, kind, data }) {
  const item = { key: data.row ?? data.id, trainee, session, kind, data, state: "waiting", at: new Date().toISOString() };
  const writing = (await base()).transaction("items", "readwrite", { durability: "strict" });
  writing.store.put(item);
  await writing.done; // on the disk of the phone, before anybody is told that it is kept
  return item;
}

// Every entry of a session that this phone knows of, sent or not.
export async function itemsOf(session) {
  return (await base()).getAllFromIndex("items", "session", session);
}

// Every entry that is still to be sent, the oldest first.
export async function waiting() {
  const items = await (await base()).getAllFromIndex("items", "state", "waiting");
  return items.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
}

// Entries that the server did not take, each with its reason.
export async function refused() {
  return (await base()).getAllFromIndex("items", "state", "refused");
}

// What the page remembers of a session beside what is logged: ticks, choices, timers.
export async function marksOf(session) {
  return (await (await base()).get("marks", session))?.value ?? {};
}

export async function setMarks(session, value) {
  await (await base()).put("marks", { session, value, at: new Date().toISOString() });
}

let running = null;

// Sends what waits, one flush at a time over all pages and the worker. Gives what stands in the way, or "".
export async function flush() {
  if (globalThis.navigator?.locks) return navigator.locks.request("setwright-flush", sendAll);
  running = (running ?? Promise.resolve()).then(sendAll, sendAll);
  return running;
}

async function sendAll() {
  const items = await waiting();
  if (!items.length) return "";
  let pass;
  try {
    pass = await (await ask("/token/", { cache: "no-store" })).json();
  } catch {
    return "offline";
  }
  if (!pass.known) return "logged-out";
  let trouble = "";
  for (const trainee of new Set(items.map((one) => one.trainee))) {
    const mine = items.filter((one) => one.trainee === trainee);
    for (let at = 0; at < mine.length; at += MOST_AT_ONCE) {
      const found = await sendSome(trainee, mine.slice(at, at + MOST_AT_ONCE), pass.token);
      if (found === "offline" || found === "server") return found;
      trouble ||= found;
    }
  }
  await forgetOld();
  return trouble;
}

async function sendSome(trainee, items, token) {
  const of = (kind) => items.filter((one) => one.kind === kind).map((one) => one.data);
  let answer, told;
  try {
    answer = await ask(`/t/${trainee}/log/`, {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": token },
      body: JSON.stringify({ rows: of("row"), notes: of("note"), choices: of("choice") }),
    });
    if (answer.status === 404) return "not-yours";
    if (!answer.ok) return "server";
    told = await answer.json();
  } catch {
    return "offline";
  }
  const store = (await base()).transaction("items", "readwrite").store;
  for (const key of told.kept) {
    const item = await store.get(key);
    if (item) await store.put({ ...item, state: "sent", replaced: told.replaced?.[key] ?? "" });
  }
  for (const [key, why] of Object.entries(told.refused)) {
    const item = await store.get(key);
    if (item) await store.put({ ...item, state: "refused", why });
  }
  return "";
}

function ask(address, more) {
  const signal = AbortSignal.timeout ? AbortSignal.timeout(PATIENCE_MS) : undefined;
  return fetch(address, { credentials: "same-origin", signal, ...more });
}

// Entries that the server keeps are forgotten here after two weeks.
async function forgetOld() {
  const before = new Date(Date.now() - KEEP_SENT_DAYS * 86400000).toISOString();
  const store = (await base()).transaction("items", "readwrite").store;
  for (const item of await store.index("state").getAll("sent")) if (item.at < before) await store.delete(item.key);
}

export function isKnownTrouble(text) {
  return ["offline", "logged-out", "not-yours", "server"].includes(text);
}
