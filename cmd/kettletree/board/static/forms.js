// What is typed is kept on the device until it is sent or discarded: through Back, a reload, a dropped network and a restarted server.
// A form, or a row of one, says by data-keep what it is; data-typed tells that something is typed into it that was not sent.

import { t } from "./words.js";
import { dayAndHour, discarded, isLate, kitchenTime, rowOf, settled, alone, unanswered, unsentAs, unsentOnce } from "./unsent.js";

const prefix = "typed ";
const mostKept = 200;

function holder(e) { return e && e.closest && (e.closest("[data-keep]") || e.closest("form")); }
function fields(of) { return [...of.querySelectorAll("input:not([type=hidden]), select, textarea")].filter((e) => e.name); }
function ticks(e) { return e.type === "radio" || e.type === "checkbox"; }
function readDraft(key) { try { return JSON.parse(localStorage.getItem(prefix + key)); } catch { return null; } }
function dropDraft(key) { try { localStorage.removeItem(prefix + key); } catch { /* a device that keeps nothing */ } }

// saveDraft keeps what stands in the fields; over tells that it was typed over what was sent and got no answer.
function saveDraft(of, over) {
	const key = of.dataset.keep;
	if (!key) return;
	const values = {};
	for (const e of fields(of)) (values[e.name] ||= []).push(ticks(e) && !e.checked ? "" : e.value);
	try {
		const all = Object.keys(localStorage).filter((k) => k.startsWith(prefix));
		if (all.length > mostKept) localStorage.removeItem(all.sort((a, b) => ((readDraft(a.slice(prefix.length)) || {}).at || 0) - ((readDraft(b.slice(prefix.length)) || {}).at || 0))[0]);
		localStorage.setItem(prefix + key, JSON.stringify({ values, at: Date.now(), when: kitchenTime(), once: (of.closest("form") || of).dataset.once, over }));
	} catch { /* a device that keeps nothing: the page still does */ }
}

// inUse tells whether something is typed into, or about to be: news leave it alone, and so does what was asked for elsewhere.
export function inUse(of, how) {
	const e = document.activeElement;
	return "typed" in of.dataset || !how && of.contains(e) && e.matches("input, select, textarea");
}

document.addEventListener("input", (e) => {
	const of = holder(e.target);
	if (!of || !e.target.name) return;
	of.dataset.typed = "yes";
	saveDraft(of, !!unsentOnce((of.closest("form") || of).dataset.once));
});

// carry takes what is typed into the form of an entry along, where a tap chose what that is about: the form is called otherwise then.
export function carry(was, is) {
	const kind = (form) => (form.elements.namedItem("kind") || {}).value, draft = readDraft(was.dataset.keep);
	if (!draft || was.dataset.keep === is.dataset.keep || kind(was) !== kind(is) || readDraft(is.dataset.keep)) return;
	dropDraft(was.dataset.keep);
	try { localStorage.setItem(prefix + is.dataset.keep, JSON.stringify({ ...draft, once: undefined })); } catch { /* a device that keeps nothing */ }
}

// restore puts what was kept into the fields of a page.
export function restore(page) {
	const chosen = new URLSearchParams(location.search); // by a tap, which is newer
	for (const of of page.querySelectorAll("[data-keep]")) {
		if ("done" in of.dataset) dropDraft(of.dataset.keep); // it is written down
		const draft = readDraft(of.dataset.keep);
		if (!draft) { // what was refused comes back with what was typed, and with what was chosen since
			if ("typed" in of.dataset) saveDraft(of); else forget(of);
			continue;
		}
		const counts = {};
		let differs = false;
		for (const e of fields(of)) {
			const n = counts[e.name] = (counts[e.name] ?? -1) + 1;
			const was = (draft.values[e.name] || [])[n];
			if (ticks(e)) {
				if (was === undefined || e.checked === !!was || e.type === "radio" && !was) continue;
				e.checked = !!was;
				differs = true;
				continue;
			}
			if (!was || was === e.value || chosen.has(e.name) || e.tagName === "SELECT" && ![...e.options].some((o) => o.value === was)) continue;
			e.value = was;
			differs = true;
			const folded = e.closest("details");
			if (folded) folded.open = true;
		}
		if (!differs || "typed" in of.dataset) continue;
		of.dataset.typed = "yes";
		if (draft.once) (of.closest("form") || of).dataset.once = draft.once;
		mention(of, draft.when);
	}
	for (const e of page.querySelectorAll("[data-signs]")) sign(e);
	for (const e of page.querySelectorAll("[data-scans]")) scanner(e);
	if (page.querySelector("[data-pad]")) import("./pad.js").then((m) => m.pad(page));
	const scale = page.querySelector("form[data-keep] select[name=scale]");
	if (scale && !("typed" in scale.form.dataset) && !scale.form.elements.namedItem("corrects")) {
		const was = readScale();
		if ([...scale.options].some((o) => o.value === was)) scale.value = was;
	}
}

// The unit in which this device last wrote a temperature.
const scaleKey = "scale of temperatures";
function readScale() { try { return localStorage.getItem(scaleKey); } catch { return null; } }
document.addEventListener("change", (e) => {
	if (e.target.name !== "scale" || e.target.tagName !== "SELECT") return;
	try { localStorage.setItem(scaleKey, e.target.value); } catch { /* a device that keeps nothing */ }
});

// sign puts a key for the minus beside a field that may be below zero, for a phone's pad for numbers has none.
function sign(e) {
	if (e.nextElementSibling && e.nextElementSibling.matches("[data-sign]")) return;
	const b = beside(e, "±");
	b.dataset.sign = "yes";
	b.setAttribute("aria-label", "±");
	b.addEventListener("click", () => {
		e.value = /^\s*[-−]/.test(e.value) ? e.value.replace(/^\s*[-−]/, "") : "-" + e.value;
		e.dispatchEvent(new Event("input", { bubbles: true }));
		e.focus();
	});
}

// scanner puts a door to the camera beside a field, where the browser can read codes.
function scanner(e) {
	if (!("BarcodeDetector" in window) || !navigator.mediaDevices || e.nextElementSibling && e.nextElementSibling.matches("[data-scan]")) return;
	const b = beside(e, e.dataset.scans);
	b.dataset.scan = "yes";
	b.addEventListener("click", async () => { (await import("./scan.js")).scan(e); });
}
function beside(e, words) {
	const b = document.createElement("button");
	b.type = "button";
	b.textContent = words;
	e.after(b);
	return b;
}

// mention says that something is kept, with the way to be rid of it.
function mention(of, when) {
	if (of.querySelector(":scope > .kept") || !when) return;
	const p = document.createElement(of.tagName === "LI" ? "div" : "p");
	p.className = "kept";
	p.textContent = t("Kept from %[1]s, not sent.", dayAndHour(when)) + " ";
	const b = document.createElement("button");
	b.type = "button";
	b.textContent = t("Discard");
	b.dataset.discard = "yes";
	p.append(b);
	of.append(p);
}
function forget(of) { const p = of.querySelector(":scope > .kept"); if (p) p.remove(); }

document.addEventListener("click", (e) => {
	if (!e.target.matches) return;
	if (e.target.matches("[data-discards]")) {
		const was = discarded(e.target.dataset.discards), draft = was && was.keep && readDraft(was.keep);
		if (draft && !draft.over) dropDraft(was.keep);
		for (const of of document.querySelectorAll("[data-keep]")) {
			if (!was || of.dataset.keep !== was.keep) continue;
			if (draft && draft.over) delete of.dataset.once; else empty(of);
		}
	}
	if (e.target.matches("[data-discard]")) empty(holder(e.target));
});

// empty throws away what was typed.
function empty(of) {
	settled((of.closest("form") || of).dataset.once);
	delete (of.closest("form") || of).dataset.once;
	dropDraft(of.dataset.keep);
	delete of.dataset.typed;
	for (const f of fields(of)) {
		if (f.tagName === "SELECT") f.selectedIndex = Math.max(0, [...f.options].findIndex((o) => o.defaultSelected)); else if (ticks(f)) f.checked = f.defaultChecked; else f.value = f.defaultValue;
	}
	forget(of);
}

function random() { return [...crypto.getRandomValues(new Uint8Array(12))].map((x) => x.toString(16).padStart(2, "0")).join(""); }
// target is where a form is sent to.
export function target(form, submitter) { return new URL((submitter && submitter.getAttribute("formaction")) || form.getAttribute("action"), location.href).href; }
function parts(form) { return [form, ...form.querySelectorAll("[data-keep]")].filter((of) => of.dataset.keep); }
function standing(form) { return fields(form).map((e) => e.value).join("\u0000"); }

// sending takes what stands in a form, as it stands now. One that is on its way is not sent again meanwhile. However often a form is
// sent, it has the same name until there is an answer, and is written down once.
const away = new Map();
export function sending(form, submitter) {
	if (away.has(form)) return null;
	const body = new URLSearchParams(new FormData(form, submitter)), url = target(form, submitter);
	const named = form.elements.namedItem("once"), before = !form.dataset.keep && unsentAs(url, body); // what is asked about again keeps its name
	const over = form.dataset.once && form.dataset.keep && unsentOnce(form.dataset.once);
	if (over && !unsentAs(url, body)) { // typed over what got no answer: that is another entry, and stays to be sent by itself
		alone(over);
		form.dataset.once = random();
	}
	form.dataset.once ||= named && named.value || before && before.once || random();
	body.set("once", form.dataset.once);
	away.set(form, { stood: standing(form), url, body });
	for (const of of parts(form)) if ("typed" in of.dataset) saveDraft(of);
	return body;
}

// sent takes note of the answer: 0 for none. It tells whether the form was written down, and whether more was typed into it since.
export function sent(form, status) {
	const { stood, url, body } = away.get(form);
	away.delete(form);
	const changed = stood !== standing(form);
	if (status === 0 || status === 409 || status >= 500) { // nobody knows whether it is written: it keeps its name
		if (!status) unanswered(url, body, form);
		return { wrote: false, changed };
	}
	settled(body.get("once"));
	for (const other of document.querySelectorAll("form")) { // what was sent again from above the page
		if (other !== form && other.dataset.once === body.get("once")) { delete other.dataset.once; answered(other); }
	}
	delete form.dataset.once;
	if (!changed) answered(form);
	return { wrote: status === 200, changed };
}

// answered takes note that a form that only asks has asked: nothing of it is left to be sent, but for what lasts until it is written down.
export function answered(form) {
	for (const of of [form, ...parts(form)]) {
		if (of.dataset.keep && !("lasts" in of.dataset)) dropDraft(of.dataset.keep);
		delete of.dataset.typed;
		forget(of);
	}
}

// noticeLate asks for the time of what was typed or tapped long ago: it is sent with the second tap. What was sent and got no answer asks
// wherever it is sent from; a form that has a field for its time asks for it also when it was only typed.
export function noticeLate(form, submitter) {
	if (form.dataset.late || new URL(target(form, submitter)).pathname !== "/write") return false;
	const body = new URLSearchParams(new FormData(form, submitter)), texts = body.getAll("text");
	let at = form.elements.namedItem("at");
	if (at && at.value || texts.length && texts.every((text) => text.startsWith("undo "))) return false;
	const draft = form.dataset.keep && readDraft(form.dataset.keep);
	const was = unsentAs(target(form, submitter), body);
	const first = was || at && draft;
	if (!first || !first.when || !isLate(first.at)) return false;
	const asks = !form.dataset.keep && was && rowOf(was.once) || form; // the row above the page: no news sweeps it away
	if (asks !== form) at = asks.elements.namedItem("at");
	if (!at) at = timeField(asks);
	at.value = first.when;
	asks.dataset.late = "yes";
	const folded = at.closest("details");
	if (folded) folded.open = true;
	const p = document.createElement("p");
	p.className = "fault";
	p.setAttribute("role", "alert");
	p.textContent = t("This was typed at %[1]s. When did it happen? Check the time, then send it.", dayAndHour(at.value));
	at.after(p);
	at.scrollIntoView({ block: "center" });
	at.focus();
	return true;
}

// timeField gives a form a field for its time, above what sends it.
function timeField(form) {
	const label = document.createElement("label"), at = document.createElement("input");
	at.type = "datetime-local";
	at.name = "at";
	label.className = "field";
	label.append(t("When"), at);
	const by = form.querySelector(":scope > .doors, :scope > button:not([hidden])");
	if (by) by.before(label); else form.append(label);
	return at;
}

// In a long list of numbers, Enter goes on to the next one; a button sends it.
const numbers = (e) => e.key === "Enter" && e.target.matches && e.target.matches("input") && e.target.closest("form[data-next]");
document.addEventListener("keypress", (e) => { if (numbers(e)) e.preventDefault(); }); // of a keyboard that says so apart
document.addEventListener("keydown", (e) => {
	const form = numbers(e);
	if (!form) return;
	e.preventDefault();
	const all = fields(form), next = all[all.indexOf(e.target) + 1] || form.querySelector("button.main");
	next.focus();
	next.scrollIntoView({ block: "center" });
});

// What is by the card goes by how many batches are typed.
document.addEventListener("input", (e) => {
	const form = e.target.name === "batches" && e.target.form, said = form && form.querySelector("[data-batches]");
	if (!said) return;
	const planned = parseFloat(e.target.placeholder), n = parseFloat((e.target.value || e.target.placeholder).replace(",", "."));
	if (!(planned > 0) || !(n > 0)) return;
	said.textContent = n;
	for (const f of form.querySelectorAll("input[name=out], input[name=in]")) {
		f.dataset.planned ||= f.placeholder;
		const was = parseFloat(f.dataset.planned.replace(/,/g, ""));
		if (was > 0) f.placeholder = Number((was * n / planned).toPrecision(4));
	}
});
