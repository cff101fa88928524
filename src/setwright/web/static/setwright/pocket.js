// What is kept on this phone, and its way to the server: on every page where somebody logs or logs in.

import { flush, refused, waiting } from "./queue.js";

const AGAIN_MS = 30000;
let place = null, trouble = "", after = () => undefined;

// Shows in an element what is kept here, and sends it whenever there is a chance. then: called after every try.
export function startPocket(element, then = () => undefined) {
  place = element;
  after = then;
  navigator.serviceWorker?.register("/worker.js").catch(() => undefined);
  navigator.serviceWorker?.addEventListener("message", async (event) => {
    if (!event.data?.flushed) return;
    trouble = event.data.trouble ?? "";
    await show();
    await after(true);
  });
  addEventListener("online", sendNow);
  addEventListener("pageshow", sendNow);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sendNow());
  setInterval(async () => (await countWaiting()) && sendNow(), AGAIN_MS);
  return sendNow();
}

// Tells the worker which pages must be there without a network.
export async function keepPages(addresses, anew = false) {
  const worker = (await navigator.serviceWorker?.ready)?.active;
  worker?.postMessage({ keep: addresses, anew });
}

// Tries to send; asks the browser to do it later where the page is closed before.
export async function sendNow() {
  const before = await countWaiting();
  await show();
  if (before) (await navigator.serviceWorker?.getRegistration())?.sync?.register("flush").catch(() => undefined);
  try {
    trouble = await flush();
  } catch {
    trouble = "unkept";
  }
  await show();
  await after(before > 0);
}

async function countWaiting() {
  try {
    return (await waiting()).length;
  } catch {
    return 0;
  }
}

function entries(count) {
  return count === 1 ? "1 entry is" : `${count} entries are`;
}

function wordsFor(count) {
  if (trouble === "unkept") return "This browser can't keep entries. Stay online, or use another window than a private one.";
  if (!count) return "";
  if (trouble === "logged-out") return `Your log-in has ended. ${entries(count)} kept here on this phone, and sent once you log in. `;
  if (trouble === "not-yours") return `${entries(count)} kept here for another log-in, and sent once that person logs in on this phone.`;
  if (trouble === "server") return `The server has trouble. ${entries(count)} kept here on this phone and sent by themselves later.`;
  return `${entries(count)} kept here on this phone, and sent as soon as there is a network.`;
}

async function show() {
  if (!place) return;
  const count = await countWaiting();
  const text = wordsFor(count), wrong = trouble === "unkept" ? [] : await refused();
  if (place.dataset.shown === `${text}${wrong.length}`) return;
  place.dataset.shown = `${text}${wrong.length}`;
  place.replaceChildren(text);
  if (count && trouble === "logged-out" && !location.pathname.startsWith("/in/")) {
    const link = document.createElement("a");
    link.href = `/in/login/?next=${encodeURIComponent(location.pathname)}`;
    link.textContent = "Log in";
    place.append(link);
  }
  for (const one of wrong) {
    const line = document.createElement("span");
    line.className = "line";
    line.textContent = `Not taken by the server, kept here: ${one.why}`;
    place.append(line);
  }
  place.hidden = !text && !wrong.length;
}
