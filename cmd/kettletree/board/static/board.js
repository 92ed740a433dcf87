// The board, livelier: links and forms within it fetch the page that they lead to and put its <main> in the place of the one
// that is shown; news from the server fetch the page again; without a connection, it says so. All of it works without this file,
// by going from page to page. A page's own script runs once
// at first and then listens to "shown" on document, and has the new <main> in event.detail.
const line = document.getElementById("line");
let shown = location.href; // the URL of the page that is shown
let newest = ""; // the mark of what the server has now
let connected = true;
let turn = 0; // of fetches: an older one that comes late is thrown away
let asking = 0; // fetches that somebody waits for

function main() { return document.getElementById("main"); }
function own(url) { return url.origin === location.origin && !url.pathname.startsWith("/static/"); }

// say shows a line above the page; nothing hides it.
function say(text) {
	if (!line) return;
	if (line.textContent !== text) line.textContent = text;
	line.hidden = !text;
}

function tell() {
	if (connected) { say(""); return; }
	const asked = main().dataset.asked;
	say("Offline. Showing " + (asked || "the last answer") + ". Nothing can be written down until the connection is back.");
}

// put shows a page that was fetched.
function put(html, url, how) {
	const page = new DOMParser().parseFromString(html, "text/html");
	const fresh = page.getElementById("main");
	if (!fresh) { location.assign(url); return; }
	const old = main();
	const text = (within) => (within.querySelector(".follows") || {}).textContent || "";
	const before = text(old);
	const at = { key: keyOf(document.activeElement), open: openOf(old), x: scrollX, y: scrollY };
	old.replaceWith(document.adoptNode(fresh));
	for (const part of ["header", "title"]) {
		const was = document.querySelector(part), is = page.querySelector(part);
		if (was && is) was.replaceWith(document.adoptNode(is));
	}
	if (how === "push" && fresh.dataset.mark) history.pushState(null, "", url); // what was refused has no address
	if (how === "replace") history.replaceState(null, "", url);
	const samePage = new URL(url).pathname === new URL(shown).pathname;
	shown = url;
	if (samePage) {
		reopen(fresh, at.open);
		scrollTo(at.x, at.y);
		const again = findIn(fresh, at.key);
		// What was asked for gets the focus, and so is seen and heard.
		const news = fresh.querySelector("#written .note, [role=alert]") || (text(fresh) && text(fresh) !== before && fresh.querySelector(".follows"));
		if (how && news) {
			news.tabIndex = -1;
			news.focus({ preventScroll: true });
			news.scrollIntoView({ block: "nearest" });
		} else if (again) again.focus({ preventScroll: true });
	} else {
		scrollTo(0, 0);
		fresh.focus({ preventScroll: true });
	}
	document.dispatchEvent(new CustomEvent("shown", { detail: fresh }));
	tell();
}

// keyOf names what has the focus, so that it can be found in the page that takes the place of this one.
function keyOf(el) {
	if (!el || !main().contains(el)) return "";
	if (el.id) return "#" + CSS.escape(el.id);
	const name = el.getAttribute("aria-label") || el.textContent;
	return el.tagName + "|" + name;
}
function findIn(within, key) {
	if (!key) return null;
	if (key.startsWith("#")) return within.querySelector(key);
	const [tag, name] = key.split("|");
	for (const el of within.getElementsByTagName(tag)) {
		if ((el.getAttribute("aria-label") || el.textContent) === name) return el;
	}
	return null;
}
function openOf(within) { return [...within.querySelectorAll("details[open] > summary")].map((s) => s.textContent); }
function reopen(within, open) {
	for (const s of within.querySelectorAll("details > summary")) if (open.includes(s.textContent)) s.parentElement.open = true;
}

// stale tells that there is news of the page that is shown. A page without a mark, such as one that says what is wrong with an
// entry, shows nothing of the kitchen, and has what was typed: it stays.
function stale() { const mark = main().dataset.mark; return mark && newest && newest !== mark; }

// go fetches a page and shows it.
async function go(url, how, options) {
	const mine = ++turn;
	const writes = options && options.method === "POST";
	main().setAttribute("aria-busy", "true");
	if (how) asking++;
	try {
		const got = await fetch(url, options);
		const html = await got.text();
		if (mine !== turn && !writes) return;
		if (writes) turn++; // what was asked for meanwhile shows the page from before
		connected = !got.headers.has("X-Kept"); // the worker's word for a page that it kept
		put(html, got.url, how);
	} catch {
		connected = false;
		tell();
		if (writes) say("Not written down: there is no connection. What you entered is still here; send it again when the connection is back.");
		else if (how) location.assign(url);
	} finally {
		main().removeAttribute("aria-busy");
		if (how) asking--;
		if (how && connected && !asking && stale()) go(location.href, ""); // the news came meanwhile
	}
}

document.addEventListener("click", (e) => {
	const a = e.target.closest("a[href]");
	if (!a || e.defaultPrevented || e.button || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey || a.hasAttribute("download")) return;
	const href = a.getAttribute("href");
	if (href.startsWith("#")) return;
	const url = new URL(href, location.href);
	if (!own(url)) return;
	e.preventDefault();
	go(url.href, "push");
});

document.addEventListener("submit", (e) => {
	const form = e.target;
	if (e.defaultPrevented) return;
	const data = new URLSearchParams(new FormData(form, e.submitter));
	const url = new URL(form.getAttribute("action") || location.href, location.href);
	e.preventDefault();
	if (form.method === "get") {
		url.search = new URLSearchParams([...data].filter(([, v]) => v !== "")).toString();
		go(url.href, "push");
		return;
	}
	if (!connected) {
		say("Not written down: there is no connection. What you entered is still here; send it again when the connection is back.");
		return;
	}
	form.removeAttribute("data-typed");
	go(url.href, "push", { method: "POST", body: data });
});

// A field with data-asks asks again as soon as it is changed.
document.addEventListener("change", (e) => {
	if (e.target.closest("[data-asks]") && e.target.form) e.target.form.requestSubmit();
});
document.addEventListener("input", (e) => { if (e.target.form) e.target.form.dataset.typed = "yes"; });

addEventListener("popstate", () => go(location.href, ""));

// expect asks again for what is still being worked out (study.go).
let wait = 0;
function expect(page) {
	clearTimeout(wait);
	if (page && page.querySelector("[data-again]")) wait = setTimeout(again, 1500);
}
expect(main());
document.addEventListener("shown", (e) => expect(e.detail));

// again fetches the page that is shown, unless somebody is typing in it or waits for another: that one brings the news.
function again() {
	if (asking || !main().dataset.mark) return; // a page without a mark shows nothing that could change
	if (main().querySelector("form[data-typed]")) { say("Something changed. What you're typing is kept; the page updates when you send it."); return; }
	go(location.href, "");
}

// The server tells when the kitchen file or the log book changed. Who does not see the page needs not hear of it: a browser has
// few connections to give.
let stream = null;
function listen() {
	if (stream || document.hidden || !main() || !main().dataset.mark) return;
	stream = new EventSource("/events");
	stream.addEventListener("news", (e) => {
		const was = connected;
		connected = true;
		newest = JSON.parse(e.data).mark;
		if (stale()) again(); else if (!was) tell();
	});
	stream.addEventListener("error", () => {
		const refused = stream && stream.readyState === EventSource.CLOSED; // else the browser tries again by itself
		if (refused) { deaf(); refusal(); return; }
		connected = false;
		tell();
	});
}

// refusal finds out why there is no stream, and says so: too many are open. Then the page is reloaded by tap.
async function refusal() {
	const stop = new AbortController();
	try {
		const got = await fetch("/events", { signal: stop.signal });
		if (!got.ok) say(await got.text());
		setTimeout(listen, got.ok ? 0 : 60000);
	} catch {
		connected = false;
		tell();
		setTimeout(listen, 5000);
	}
	stop.abort();
}
function deaf() {
	if (stream) stream.close();
	stream = null;
}
listen();
document.addEventListener("visibilitychange", () => { if (document.hidden) deaf(); else listen(); });
addEventListener("pagehide", deaf);
addEventListener("pageshow", listen);
setInterval(() => {
	if (connected && !document.hidden && "minute" in main().dataset && !main().querySelector("form[data-typed]")) again();
}, 60000);
addEventListener("offline", () => { connected = false; tell(); });

if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => {}); // without one, it needs the network
