// The board, livelier: links and forms within it fetch the page that they lead to and put its <main> in the place of the one that is
// shown, by changing what differs and nothing else (idiomorph). Nothing is changed under a field in use: what somebody types into stays
// the very element that it is. News from the server fetch the page again. All of it works without this file, by going from page to
// page. A page's own script runs once at first and then listens to "shown" on document, and has the new <main> in event.detail.
import { inUse, sending, sent, answered, carry, restore, noticeLate, target } from "./forms.js";
import { clockIs, showUnsent } from "./unsent.js";
import { t } from "./words.js";

// Chromium (156 for one) stands still, for good, when a page is taken away in which a form was moved by moveBefore. Without it idiomorph
// inserts, and puts the focus back.
delete Element.prototype.moveBefore;

const line = document.getElementById("line");
let shown = location.href; // the URL of the page that is shown
let newest = ""; // the mark of what the server has now
let connected = true;
let turn = 0; // of fetches: an older one that comes late is thrown away
let asking = 0; // fetches that somebody waits for
let writing = Promise.resolve(); // the write under way: whatever is tapped meanwhile waits for it, and is not lost
let opener = ""; // what opened the panel that tells what follows: it has the focus again when that is closed
let noted = ""; // what the last write said, until some page has shown it
const kept = new Map(); // pages that were shown, by URL, so that Back is there at once
const mostKept = 20;

function main() { return document.getElementById("main"); }
function own(url) { return url.origin === location.origin && !url.pathname.startsWith("/static/"); }

// say shows a line above the page; nothing hides it. A link may follow.
function say(text, to, words) {
	if (!line) return;
	if (line.dataset.says !== text) {
		line.dataset.says = line.textContent = text;
		if (to) {
			const a = document.createElement("a");
			a.href = to;
			a.textContent = words;
			line.append(" ", a);
		}
	}
	line.hidden = !text;
}

function tell() {
	if (connected) { say(""); return; }
	const asked = main().dataset.asked;
	const kept = t("What you type is kept on this device until it can be sent.");
	say((asked ? t("Offline. Showing %[1]s.", asked) : t("Offline. Showing the last answer.")) + " " + kept);
}

// wait shows that something is being waited for: at once, for nobody taps twice who sees that the first tap was taken.
function wait(by) {
	asking += by;
	document.documentElement.classList.toggle("waiting", asking > 0);
	if (asking > 0) main().setAttribute("aria-busy", "true"); else main().removeAttribute("aria-busy");
}

// put shows a page that was fetched. How is "push" or "replace" for what somebody asked for, "" for news.
function put(html, url, how, options = {}) {
	const [text, drawing] = apart(html);
	let page = new DOMParser().parseFromString(text, "text/html");
	const later = drawing && sameView(main(), page.getElementById("main"));
	if (drawing && !later) page = new DOMParser().parseFromString(html, "text/html");
	const fresh = page.getElementById("main");
	const first = page.querySelector("header") && !document.querySelector("header"); // from a page that stands alone, without the bar
	if (!fresh || first || page.documentElement.lang !== document.documentElement.lang) { location.assign(url); return true; }
	const old = main();
	const refused = !!fresh.querySelector("[aria-invalid], form .fault, form .says-wrong") || !fresh.dataset.mark;
	const samePage = fresh.dataset.page === old.dataset.page && !!fresh.dataset.page;
	const answers = "form" in options; // what was sent from elsewhere takes no field from under a thumb that went on to it meanwhile
	const held = [...old.querySelectorAll("[data-keep]")].filter((e) => inUse(e, answers ? "" : how) && !(options.form && options.form.contains(e)));
	const stays = new Map(held.map((e) => [e, counterpart(fresh, e)]));
	if (!how && [...stays].some(([e, other]) => !other || place(e) !== place(other))) {
		say(t("Something changed. What you're typing is kept; the page updates when you send it."));
		return false;
	}
	const says = (within) => (within.querySelector(".follows") || {}).textContent || "";
	const before = says(old);
	const key = keyOf(document.activeElement), corrects = "[name=corrects]", corrected = old.querySelector(corrects);
	if (how === "push" && !refused) {
		leave();
		history.pushState(null, "", url);
	}
	if (how === "replace") history.replaceState(history.state, "", url);
	if (!refused) shown = url;
	if (noted && !fresh.querySelector("#written .note")) {
		const at = fresh.querySelector("#written");
		if (at) at.innerHTML = noted;
	}
	noted = "";
	const steady = how || !samePage || options.y !== undefined ? [] : standing();
	const entry = how === "push" && !answers && old.querySelector("#entry-form[data-typed]"), nextEntry = fresh.querySelector("#entry-form");
	if (samePage && entry && nextEntry) carry(entry, nextEntry);
	for (const e of old.querySelectorAll("[data-row]")) { // fields for the next thing: what was noted stands in a row of its own now
		const is = counterpart(fresh, e);
		if (is && is.dataset.row !== e.dataset.row) for (const field of e.querySelectorAll("input")) field.value = "";
	}
	if (samePage) {
		level(old, fresh);
		if (!later) whole(old.querySelector(drawn), fresh.querySelector(drawn));
		Idiomorph.morph(old, document.adoptNode(fresh), { morphStyle: "outerHTML", callbacks: {
			beforeNodeMorphed(e, other) {
				if (e.matches && e.matches(drawn)) return false;
				if (!stays.get(e)) return !same(e, other);
				for (const name of ["seen", "back"]) { // what the page knows, not what somebody typed
					const was = e.querySelector(`[name=${name}]`), is = other.querySelector && other.querySelector(`[name=${name}]`);
					if (was && is) was.value = is.value;
				}
				return false;
			},
			// what somebody opened stays so; what news bring, and what an answer rests on, is not opened to who closed it
			beforeAttributeUpdated: (name, e, change) => !(name === "open" && e.matches("details") && (change === "remove" || !how || e.closest("footer"))),
		} });
	} else old.replaceWith(document.adoptNode(fresh));
	for (const part of ["header", "title"]) {
		const was = document.querySelector(part), is = page.querySelector(part);
		if (was && is && was.outerHTML !== is.outerHTML) Idiomorph.morph(was, document.adoptNode(is));
	}
	const now = main();
	restore(now);
	const news = how && (now.querySelector("#written .note") || now.querySelector("[aria-invalid]") || now.querySelector("[role=alert]") ||
		(says(now) && says(now) !== before && now.querySelector(".follows")));
	document.dispatchEvent(new CustomEvent("shown", { detail: now })); // before anything is scrolled to: it may change what stands above
	redraw(later ? drawing : "");
	if (samePage) {
		if (held.some((e) => e.contains(document.activeElement))) { /* whoever types goes on */ } else if (news) {
			if (news.matches(".follows") && !before) opener = key;
			const next = news.matches(".note") && now.querySelector(".buying details[open] > .weigh input:not([type=hidden]), .taken[tabindex]");
			if (!next && !news.matches("input")) news.tabIndex = -1;
			(next || news).focus({ preventScroll: true });
			if (next) next.scrollIntoView({ block: next.matches(".taken") ? "start" : "center" });
			else if (!news.matches(".note")) news.scrollIntoView({ block: "nearest" }); // the note stays in view by itself, and is read out
			else if (corrected && !now.querySelector(corrects)) now.querySelector("#latest").scrollIntoView({ block: "center" }); // else the browser holds on to a row far below
		} else {
			const again = findIn(now, before && !says(now) ? opener : key);
			if (again && document.activeElement !== again) again.focus({ preventScroll: true });
		}
		if (how && url.includes("#") && !news) jump(url);
	} else {
		scrollTo(0, options.y || 0);
		now.focus({ preventScroll: true });
		if (!options.y && url.includes("#")) jump(url);
	}
	if (options.y !== undefined) scrollTo(0, options.y);
	steadied(steady);
	tell();
	return true;
}

// standing is what is seen of the page, what has the focus first, and where it stands: news that come above it should not move it. At the
// top of a page they are to be seen. What says the same as something else comes last: "by 17:30" stands in ten rows, and after the news
// nobody knows in which of them it was read.
const parts = ["h2", "h3", "li", "p", "summary", "tr"];
function standing() {
	if (scrollY < 1) return [];
	const list = [], often = times();
	for (const e of [document.activeElement, ...main().querySelectorAll(parts)]) {
		if (!main().contains(e) || e === main() || e.closest(".follows, .strip, .sheet, .cut-line, #written")) continue;
		const top = e.getBoundingClientRect().top;
		if (top >= 0 && top < innerHeight && shows(e)) list.push({ e, top, text: e.textContent, key: e.tagName + e.textContent });
		if (list.length > 30) break;
	}
	const alone = ({ e, key }) => e === document.activeElement || often.get(key) === 1;
	return [...list.filter(alone), ...list.filter((one) => !alone(one))];
}

// times has how often the page says each thing.
function times() {
	const often = new Map();
	for (const e of main().querySelectorAll(parts)) often.set(e.tagName + e.textContent, (often.get(e.tagName + e.textContent) || 0) + 1);
	return often;
}

function shows(e) { return e.checkVisibility ? e.checkVisibility() : e.getClientRects().length > 0; }

// steadied has the first of it that is still there stand where it stood.
function steadied(list) {
	for (const { e, top, text } of list) {
		const is = e.isConnected && e.textContent === text ? e : text && [...main().getElementsByTagName(e.tagName)].find((o) => o.textContent === text);
		if (!is || !shows(is)) continue;
		const by = is.getBoundingClientRect().top - top;
		if (Math.abs(by) >= 1) scrollBy(0, by);
		return;
	}
}

// same tells that a part of the page has nothing to be changed, and need not be gone through; what is typed into is no part of what can be
// compared so.
function same(e, other) {
	const typed = "input:not([type=hidden]), select, option, textarea";
	return e.nodeType === Node.ELEMENT_NODE && e.isEqualNode(other) && !e.matches(typed) && !e.querySelector(typed);
}

// level has all forms say that they know what the fresh page knows: else each of a hundred would differ after every entry.
function level(old, fresh) {
	const is = fresh.querySelector("input[name=seen]");
	if (is) for (const was of old.querySelectorAll("input[name=seen]")) if (was.value !== is.value) was.setAttribute("value", is.value);
}

// whole puts a drawing in the place of another: of a thousand boxes and lines nearly all differ, and to compare them takes longer. It is
// taken out of the fresh page, so that nothing else goes through them either.
const drawn = "#sheet > svg";
function whole(was, is) {
	if (!was || !is) return;
	if (!was.isEqualNode(is)) was.replaceChildren(...is.childNodes);
	for (const name of was.getAttributeNames()) if (!is.hasAttribute(name)) was.removeAttribute(name);
	for (const a of is.attributes) if (was.getAttribute(a.name) !== a.value) was.setAttribute(a.name, a.value);
	is.replaceChildren();
}

// apart takes what a drawing has in it out of a page: that is nine tenths of its text.
function apart(html) {
	const sheet = html.indexOf('id="sheet"'), from = html.indexOf("<svg", sheet), to = html.indexOf("</svg>", from) + "</svg>".length;
	if (sheet < 0 || from < 0 || to < from) return [html, ""];
	return [html.slice(0, html.indexOf(">", from) + 1) + html.slice(to - "</svg>".length), html.slice(from, to)];
}

// sameView tells that a sheet shows what it showed, and only what became of it differs.
function sameView(old, fresh) {
	const was = old && old.querySelector("#sheet"), is = fresh && fresh.querySelector("#sheet");
	return !!was && !!is && !!was.querySelector("svg") && was.dataset.box === is.dataset.box && was.className === is.className && fresh.dataset.page === old.dataset.page;
}

// redraw puts a drawing in once what is said of it is on the screen: to lay it out takes longer than all the rest.
let awaits = "";
function redraw(svg) {
	awaits = svg;
	if (svg) requestAnimationFrame(() => setTimeout(() => {
		if (awaits !== svg) return; // a newer one follows
		whole(document.querySelector(drawn), new DOMParser().parseFromString(svg, "text/html").querySelector("svg"));
		document.dispatchEvent(new CustomEvent("drawn", { detail: main() }));
	}));
}

function jump(url) {
	const to = document.getElementById(new URL(url).hash.slice(1));
	if (!to) return;
	for (let e = to; (e = e.parentElement && e.parentElement.closest("details")); ) e.open = true;
	const at = to.getBoundingClientRect().top;
	if (at < 0 || at > innerHeight * 0.4) to.scrollIntoView({ block: "start" }); // what is to be filled in stands below it
}

// counterpart is what a page has for something that is typed into; place is where on the page it stands.
function counterpart(page, e) { return [...page.querySelectorAll("[data-keep]")].find((other) => other.dataset.keep === e.dataset.keep && other.tagName === e.tagName); }
function place(e) { const s = e.closest("section[aria-labelledby]"); return s ? s.getAttribute("aria-labelledby") : ""; }

// keyOf names what has the focus, so that it can be found in the page that takes the place of this one.
function keyOf(el) {
	if (!el || !main().contains(el)) return "";
	if (el.id) return "#" + CSS.escape(el.id);
	return el.tagName + "|" + (el.getAttribute("aria-label") || el.textContent);
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

// stale tells that there is news of the page that is shown. A page without a mark shows nothing of the kitchen.
function stale() { const mark = main().dataset.mark; return mark && newest && newest !== mark; }

// wakes tells that the page goes by the minute, and that its own has passed while nobody listened: a phone comes out of a pocket.
function wakes(now) { return "minute" in main().dataset && now.slice(0, 16) > main().dataset.now; }

// A request that hears nothing for so long is given up.
const patience = 30000;

async function ask(url, options) {
	const got = await fetch(url, { ...options, signal: AbortSignal.timeout ? AbortSignal.timeout(patience) : undefined });
	const html = await got.text();
	connected = !got.headers.has("X-Kept"); // the worker's word for a page that it kept
	return { html, url: got.url, status: got.status };
}

// go fetches a page and shows it. What somebody asks for is asked for until it is there, or something else is.
async function go(url, how, options = {}) {
	const mine = ++turn;
	if (how) wait(1);
	try {
		await writing;
		for (let tries = 0; mine === turn; tries++) {
			try {
				const got = await ask(url);
				if (!how) await lifted;
				if (mine !== turn) return;
				remember(got.url, got.html);
				put(got.html, got.url + new URL(url).hash, how, options);
				return;
			} catch {
				connected = false;
				tell();
				if (!how) return;
				await new Promise((again) => setTimeout(again, Math.min(500 * 2 ** tries, 5000)));
			}
		}
	} finally {
		if (how) {
			wait(-1);
			if (connected && !asking && stale()) go(location.href, ""); // the news came meanwhile
		}
	}
}

function remember(url, html) {
	kept.delete(url);
	kept.set(url, html);
	if (kept.size > mostKept) kept.delete(kept.keys().next().value);
}

// write sends a form that writes. Forms are sent one after the other.
function write(form, submitter) {
	const body = sending(form, submitter);
	if (!body) return; // it is on its way
	form.classList.add("away");
	const url = target(form, submitter), asked = turn;
	wait(1);
	writing = writing.then(async () => {
		try {
			const got = await ask(url, { method: "POST", body });
			if (!connected) throw new Error("kept"); // the worker says so
			const { wrote, changed } = sent(form, got.status);
			if (turn !== asked) { // somebody went on to another page: it says what became of this one
				noted = (wrote && (new DOMParser().parseFromString(got.html, "text/html").querySelector("#written") || {}).innerHTML) ||
					`<div class="note"><p><strong>${t("Not written down.")}</strong> ${t("What was typed is kept in the form that it was typed into.")}</p></div>`;
				return;
			}
			turn++;
			put(got.html, got.url, "push", { form: wrote && changed ? null : form });
		} catch {
			sent(form, 0);
			connected = false;
			tell();
		} finally {
			form.classList.remove("away");
			wait(-1);
			if (!asking && stale()) again(); // the news came meanwhile
		}
	});
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

// asked is the address that a form leads to that asks.
function asked(form, submitter) {
	const data = new URLSearchParams(new FormData(form, submitter));
	const url = new URL((submitter && submitter.getAttribute("formaction")) || (form.method === "get" && form.getAttribute("action")) || location.pathname, location.href);
	if (form.method !== "get") for (const own of [...data.keys()]) if (["form", "kind", "item", "unit", "supplier", "next", "seen", "back"].includes(own) || own.endsWith("-else")) data.delete(own);
	url.search = new URLSearchParams([...data].filter(([, v]) => v !== "")).toString();
	return url.href;
}

document.addEventListener("submit", (e) => {
	const form = e.target, by = e.submitter;
	if (e.defaultPrevented || "whole" in form.dataset) return; // what changes the whole page is the browser's
	e.preventDefault();
	if (((by && by.getAttribute("formmethod")) || form.method) === "get") {
		const url = asked(form, by);
		if (form.method === "get") answered(form);
		go(url, "push");
		return;
	}
	if (noticeLate(form, by)) return;
	write(form, by);
});

// A field with data-asks asks what follows as soon as it is changed. Only what follows is put in its place; no field is touched.
let follows = 0;
document.addEventListener("change", async (e) => {
	const form = e.target.closest("[data-asks]") && e.target.form;
	if (!form) return;
	if (form.method === "get") { form.requestSubmit(); return; }
	const mine = ++follows, url = asked(form, null).replace(/#.*/, "");
	wait(1);
	try {
		const got = await ask(new URL("/buy" + new URL(url).search, location.href).href);
		if (mine !== follows || got.status !== 200 || !document.contains(form)) return;
		const page = new DOMParser().parseFromString(got.html, "text/html");
		for (const id of ["strip", "moved"]) {
			const was = document.getElementById(id), is = page.getElementById(id);
			if (was && is && was.innerHTML !== is.innerHTML) was.replaceChildren(...document.adoptNode(is).childNodes);
		}
		history.replaceState(history.state, "", got.url);
		shown = got.url;
		document.dispatchEvent(new CustomEvent("asked"));
	} catch {
		connected = false;
		tell();
	} finally {
		wait(-1);
	}
});

// The key Escape closes the panel that tells what follows, as Cancel does.
document.addEventListener("keydown", (e) => {
	const away = e.key === "Escape" && !e.defaultPrevented && document.querySelector(".follows > .doors a");
	if (away) away.click();
});

// The place on a page is kept with it, for Back. A browser lets go of what a page says to its history while it is being reloaded, and
// takes few such words in a second: for a reload the place is kept by the tab, wherever it is.
history.scrollRestoration = "manual";
function leave() { if (((history.state || {}).y || 0) !== scrollY) history.replaceState({ ...history.state, y: scrollY }, ""); }
function hold() { try { sessionStorage.setItem("place", JSON.stringify({ url: location.href, y: scrollY })); } catch { /* no room */ } }
function heldPlace() {
	const [how] = performance.getEntriesByType("navigation");
	try {
		const place = how && how.type === "reload" && JSON.parse(sessionStorage.getItem("place"));
		if (place && place.url === location.href) return place.y;
	} catch { /* nothing that was kept by us */ }
	return (history.state || {}).y || 0;
}
let resting = 0;
addEventListener("scroll", () => { hold(); clearTimeout(resting); resting = setTimeout(leave, 150); }, { passive: true });
addEventListener("pagehide", leave);
addEventListener("popstate", (e) => {
	clearTimeout(resting);
	const y = (e.state && e.state.y) || 0, url = location.href;
	if (new URL(url).pathname + new URL(url).search === new URL(shown).pathname + new URL(shown).search) { scrollTo(0, y); return; }
	const html = kept.get(url.replace(/#.*/, ""));
	if (html) put(html, url, "back", { y });
	go(url, html ? "" : "back", { y });
});

// expect asks again for what is still being worked out (study.go).
let waits = 0;
function expect(page) {
	clearTimeout(waits);
	if (page && page.querySelector("[data-again]")) waits = setTimeout(again, 1500);
}
document.addEventListener("shown", (e) => { expect(e.detail); listen(); });

// again fetches the page that is shown, unless somebody waits for another: that one brings the news.
function again() {
	if (asking || !main().dataset.mark) return;
	go(location.href, "");
}

// A finger that is down taps what it was put on: news wait until it is up, or the tap would go to what has taken that place.
let fingers = 0, lifted = Promise.resolve(), lift = null;
document.addEventListener("pointerdown", () => { if (!fingers++) lifted = new Promise((up) => { lift = up; }); }, true);
for (const end of ["pointerup", "pointercancel"]) {
	document.addEventListener(end, () => setTimeout(() => { // the click comes after it
		fingers = Math.max(0, fingers - 1);
		if (!fingers && lift) lift();
	}), true);
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
		const news = JSON.parse(e.data);
		newest = news.mark;
		clockIs(news.now);
		if (stale() || wakes(news.now)) again(); else if (!was) tell();
	});
	stream.addEventListener("away", () => {
		deaf();
		say(t("The board is open in too many places: here, changes are no longer shown by themselves."), location.href, t("Show them here"));
	});
	stream.addEventListener("error", () => {
		const closed = stream && stream.readyState === EventSource.CLOSED; // else the browser tries again by itself
		if (closed) { deaf(); refusal(); return; }
		connected = false;
		tell();
	});
}

// refusal finds out why there is no stream, and says so.
async function refusal() {
	const stop = new AbortController();
	try {
		const got = await fetch("/events", { signal: stop.signal });
		if (got.status === 403 && (got.headers.get("Content-Type") || "").includes("html")) say(t("This device has to be paired again: the board no longer knows it."), "/pair", t("Pair it"));
		else if (!got.ok) say(await got.text());
		setTimeout(listen, got.ok ? 0 : 60000);
	} catch {
		connected = false;
		tell();
		setTimeout(listen, 3000);
	}
	stop.abort();
}
function deaf() {
	if (stream) stream.close();
	stream = null;
}
if (main() && main().dataset.mark) {
	remember(location.href.replace(/#.*/, ""), document.documentElement.outerHTML);
	clockIs(main().dataset.now);
	restore(main());
	showUnsent();
	const y = heldPlace();
	if (y) scrollTo(0, y);
}
expect(main());
listen();
document.addEventListener("visibilitychange", () => { if (document.hidden) deaf(); else listen(); });
addEventListener("pagehide", deaf);
addEventListener("pageshow", listen);
setInterval(() => { if (connected && !document.hidden && "minute" in main().dataset) again(); }, 60000);
addEventListener("offline", () => { connected = false; tell(); });

if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => {}); // without one, it needs the network
