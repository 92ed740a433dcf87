// The service worker: keeps the last answer of every page that was opened, and shows it when there is no network. What is to be
// written down needs the network: it is refused in words, never kept for later, for the kitchen goes on meanwhile.
"use strict";

const cache = "board-VERSION";
const files = ["board.css", "board.js", "forms.js", "unsent.js", "scan.js", "pad.js", "words.js", "idiomorph.min.js", "map.js", "draw.js", "sheets.js", "icon.svg"].map((name) => "/static/VERSION/" + name);
const mostPages = 60;

self.addEventListener("install", (e) => {
	e.waitUntil(caches.open(cache).then((c) => c.addAll([...files, "/", "/map"])).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (e) => {
	e.waitUntil(caches.keys().then((keys) => Promise.all(keys.filter((k) => k !== cache).map((k) => caches.delete(k)))).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (e) => {
	const url = new URL(e.request.url);
	if (url.origin !== location.origin || url.pathname === "/events" || url.pathname === "/pair") return;
	if (e.request.method !== "GET") { e.respondWith(write(e.request)); return; }
	e.respondWith(url.pathname.startsWith("/static/") ? file(e.request) : page(e.request));
});

async function file(request) {
	return (await caches.match(request)) || fetch(request);
}

async function page(request) {
	try {
		const got = await fetch(request);
		if (got.ok && !got.redirected) keep(request.url, got.clone());
		return got;
	} catch {
		const kept = (await caches.match(request.url)) || (await caches.match(new URL(request.url).pathname));
		if (!kept) return words("Offline", "This page was never opened on this device, so it has no copy. It has one of Today and of the map.");
		const headers = new Headers(kept.headers);
		headers.delete("Content-Encoding"); // it is unpacked already
		headers.delete("Content-Length");
		headers.set("X-Kept", "yes");
		return new Response(await kept.blob(), { status: 200, headers });
	}
}

async function keep(url, answer) {
	const c = await caches.open(cache);
	await c.put(url, answer);
	const old = (await c.keys()).filter((r) => !new URL(r.url).pathname.startsWith("/static/"));
	for (const r of old.slice(0, Math.max(0, old.length - mostPages))) await c.delete(r);
}

async function write(request) {
	try {
		return await fetch(request);
	} catch {
		return words("Not written down", "There is no connection, so nothing was written. Write it down again when the connection is back.");
	}
}

// The words of such a page in other languages than English, by their English.
const said = WORDS;

// spoken is the language in which Today was last shown on this device.
async function spoken() {
	const today = await caches.match("/");
	const is = today && /<html lang="([A-Za-z-]+)/.exec(await today.text());
	return is ? is[1] : "en";
}

async function words(head, says) {
	const lang = await spoken(), t = (english) => (said[lang] && said[lang][english]) || english;
	[head, says] = [t(head), t(says)];
	const html = `<!doctype html><html lang="${said[lang] ? lang : "en"}"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="${files[0]}"><title>${head}</title><main id="main" class="alone"><h1>${head}</h1><p role="alert">${says}</p><p><a class="button" href="/">${t("Today")}</a></p></main>`;
	return new Response(html, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8", "X-Kept": "yes" } });
}
