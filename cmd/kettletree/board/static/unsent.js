// What was sent and got no answer: nobody knows whether it is written down. It is kept on the device under the name that it was sent by
// until there is an answer or somebody discards it, wherever one goes meanwhile, and stands above the page with a way to send it again.
import { t } from "./words.js";

const key = "unsent";
const late = 10 * 60 * 1000; // what is sent later than that asks for its time

// The kitchen's clock, by how far it is ahead of the device's.
let ahead = 0;
export function clockIs(now) { if (now) ahead = new Date(now + "Z").getTime() - Date.now(); }
export function kitchenTime() { return new Date(Date.now() + ahead).toISOString().slice(0, 16); }
export function isLate(at) { return Date.now() - at >= late; }

// None is ever dropped to make room: what a device can't keep any more stays with the page that is open, which says so.
let onlyHere = null;
export function records() {
	if (onlyHere) return onlyHere;
	try { return JSON.parse(localStorage.getItem(key)) || []; } catch { return []; }
}
function keep(all) {
	onlyHere = null;
	try { localStorage.setItem(key, JSON.stringify(all)); } catch { onlyHere = all.length ? all : null; }
	showUnsent();
}

// dayAndHour is a moment by the kitchen's clock, such as 2026-11-24T22:40: its hour, and its day where that is not today.
export function dayAndHour(when) {
	const day = when.slice(0, 10), hour = when.slice(11, 16), tag = document.documentElement.lang || "en";
	if (day === kitchenTime().slice(0, 10)) return hour;
	const part = (how) => new Intl.DateTimeFormat(tag, { ...how, timeZone: "UTC" }).format(new Date(day + "T00:00Z"));
	if (tag.startsWith("zh")) return `${part({ month: "short", day: "numeric" })}（${part({ weekday: "short" })}） ${hour}`;
	return `${part({ weekday: "short" })} ${part({ day: "numeric" })} ${part({ month: "short" })} ${hour}`;
}

// what a form says, without what tells where it stood.
const aside = ["once", "seen", "back", "at", "next", "sure", "again"];
function said(url, body) { return new URL(url).pathname + "?" + [...body].filter(([name]) => !aside.includes(name)).map(([name, value]) => name + "=" + value).sort().join("&"); }

// unsentAs finds what was sent before and says the same.
export function unsentAs(url, body) { const is = said(url, body); return records().find((r) => r.said === is); }

// unsentOnce finds what was sent before by a name.
export function unsentOnce(once) { return records().find((r) => r.once === once); }

// alone lets go of the form that something was typed into: it is sent as a whole.
export function alone(r) {
	const of = rowOf(r.once);
	if (of) of.remove();
	keep(records().map((one) => one.once === r.once ? { ...one, keep: "" } : one));
}

// unanswered keeps what got no answer. Keep names the form that keeps what was typed, on its page; another is kept as a whole.
export function unanswered(url, body, form) {
	const once = body.get("once"), all = records().filter((r) => r.once !== once), was = records().find((r) => r.once === once);
	const kept = form.dataset.keep, typed = [...form.querySelectorAll("input:not([type=hidden]), select")].filter((e) => e.name && e.value).map((e) => e.value);
	const words = kept ? [body.get("kind") || "", body.get("kind") && body.get("item") && !typed.includes(body.get("item")) ? body.get("item") : "", ...typed] : body.getAll("text");
	all.push({ said: said(url, body), once, url, body: body.toString(), at: was ? was.at : Date.now(), when: was ? was.when : kitchenTime(), keep: kept, page: location.pathname + location.search,
		words: words.filter((w) => w).join(" ") || (document.activeElement || {}).textContent || "" });
	keep(all);
}

// settled forgets what was answered or discarded.
export function settled(once) {
	const all = records();
	if (once && all.some((r) => r.once === once)) keep(all.filter((r) => r.once !== once));
}

// showUnsent puts a row above the page for each. A row under a finger or in use stays the very one that it is.
export function showUnsent() {
	const tray = document.getElementById("unsent");
	if (!tray) return;
	const all = records(), rows = new Map([...tray.querySelectorAll("[data-once]")].map((row) => [row.dataset.once, row]));
	for (const [once, row] of rows) if (!all.some((r) => r.once === once)) row.remove();
	if (!all.length) { tray.replaceChildren(); tray.hidden = true; return; }
	if (tray.hidden) {
		const p = document.createElement("p");
		p.textContent = t("No answer came, so this may not be written down. It is kept here: send it again when the connection is back. It is never written twice.");
		tray.replaceChildren(p);
		tray.hidden = false;
	}
	for (const r of all) if (!rows.has(r.once)) tray.append(row(r));
	const only = tray.querySelector(".only-here");
	if (onlyHere && !only) {
		const p = document.createElement("p");
		p.className = "only-here";
		p.append(document.createElement("b"));
		p.firstChild.textContent = t("This device keeps no more: leave this page open until all is sent.");
		tray.firstChild.after(p);
	} else if (!onlyHere && only) only.remove();
}

// row is one thing that was sent: its words, when, and what can be done about it.
function row(r) {
	const of = document.createElement(r.keep ? "div" : "form");
	of.dataset.once = r.once;
	of.className = "unsent";
	const words = document.createElement("strong");
	words.textContent = r.words;
	of.append(words, " " + dayAndHour(r.when) + " ");
	if (r.keep) {
		const a = document.createElement("a");
		a.className = "button";
		a.href = r.page;
		a.textContent = t("Open the form");
		of.append(a);
	} else {
		of.method = "post";
		of.action = r.url;
		for (const [name, value] of new URLSearchParams(r.body)) {
			const input = document.createElement("input");
			input.type = "hidden";
			input.name = name;
			input.value = value;
			of.append(input);
		}
		const send = document.createElement("button");
		send.textContent = t("Send again");
		of.append(send);
	}
	const away = document.createElement("button");
	away.type = "button";
	away.textContent = t("Discard");
	away.dataset.discards = r.once;
	of.append(away);
	return of;
}

// rowOf is the row of what was sent, which can be asked for its time.
export function rowOf(once) { return document.querySelector(`#unsent [data-once="${CSS.escape(once)}"]`); }
export function discarded(once) { const r = records().find((one) => one.once === once); settled(once); return r; }

addEventListener("storage", (e) => { if (e.key === key) showUnsent(); }); // another tab of this device
