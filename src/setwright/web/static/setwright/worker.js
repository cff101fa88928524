// The service worker: keeps the pages of a session for when there is no network, and sends what waits.
// The server puts the lists KEPT and VERSION and the modules idb.js and queue.js in front of this text.

const FILES = `setwright-files-${VERSION}`, PAGES = "setwright-pages", LOGOUT = "/in/logout/", PATIENCE_PAGE_MS = 6000;
const KEPT_PAGES = [/^\/$/, /^\/today\/$/, /^\/t\/[0-9a-f-]{36}\/day\/[0-9-]{10}\/$/, /^\/floor\/$/];
const KEPT_PICTURES = /^\/cues\/\d+\/file\/$/;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(FILES).then((files) => files.addAll(KEPT)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((one) => one.startsWith("setwright-files-") && one !== FILES).map((one) => caches.delete(one))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === LOGOUT) event.waitUntil(caches.delete(PAGES));
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(fromFiles(request));
  else if (KEPT_PICTURES.test(url.pathname) && !request.headers.has("range")) event.respondWith(pictureOf(request));
  else if (KEPT_PAGES.some((one) => one.test(url.pathname))) event.respondWith(pageOf(event, request));
});

self.addEventListener("message", (event) => {
  if (event.data?.keep) event.waitUntil(keepPages(event.data.keep, event.data.anew));
});

self.addEventListener("sync", (event) => {
  if (event.tag === "flush") event.waitUntil(flush().then(tellPages));
});

async function fromFiles(request) {
  const found = await caches.match(request, { ignoreVary: true });
  return found ?? fetch(request);
}

// The network first, so that a changed session is in the pocket at once; the kept page where it is slow or not there.
async function pageOf(event, request) {
  const fresh = fetch(request).then(async (answer) => {
    if (answer.ok && !answer.redirected && answer.type === "basic") await (await caches.open(PAGES)).put(request.url, answer.clone());
    return answer;
  });
  event.waitUntil(fresh.catch(() => undefined));
  const late = new Promise((done) => setTimeout(done, PATIENCE_PAGE_MS));
  try {
    const first = await Promise.race([fresh, late]);
    if (first && first.status < 500) return first;
  } catch {
    // no network: the kept page
  }
  const kept = await keptPage(new URL(request.url));
  if (kept) return kept;
  try {
    return await fresh;
  } catch {
    return new Response(NO_PAGE, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
  }
}

// The page as it was kept; for the start and for today the session of this date, where it is here.
async function keptPage(url) {
  const pages = await caches.open(PAGES);
  if (url.pathname === "/" || url.pathname === "/today/") {
    const now = new Date(), two = (number) => String(number).padStart(2, "0");
    const ending = `/day/${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}/`;
    const found = (await pages.keys()).find((one) => new URL(one.url).pathname.endsWith(ending));
    return pages.match(found ?? "/today/", { ignoreVary: true });
  }
  return pages.match(url.href, { ignoreVary: true });
}

async function pictureOf(request) {
  const pages = await caches.open(PAGES), kept = await pages.match(request.url, { ignoreVary: true });
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.status === 200 && (answer.headers.get("content-type") ?? "").startsWith("image/")) await pages.put(request.url, answer.clone());
  return answer;
}

async function keepPages(addresses, anew) {
  const pages = await caches.open(PAGES);
  for (const address of addresses) {
    if (!anew && (await pages.match(address, { ignoreVary: true }))) continue;
    try {
      const answer = await fetch(address, { credentials: "same-origin" });
      if (answer.ok && !answer.redirected) await pages.put(address, answer);
    } catch {
      return; // no network: tried again with the next page
    }
  }
}

async function tellPages(trouble) {
  for (const page of await self.clients.matchAll()) page.postMessage({ flushed: true, trouble });
}

const NO_PAGE = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>No network</title><body><h1>No network</h1><p>This page was not opened on this phone before. What you logged is kept here. <a href="/today/">Today</a></p></body></html>`;
