// Figures are tapped on keys below their field, for wet hands and without the keyboard of the phone, which would hide the card. Who has keys types.

import { t } from "./words.js";

const figures = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0"];

// pad makes the fields of a page ready.
export function pad(page) {
	for (const e of page.querySelectorAll("[data-pad]")) e.inputMode = "none";
}

function next(e) {
	const all = [...e.form.querySelectorAll("[data-pad]")];
	return all[all.indexOf(e) + 1];
}

function key(words, says, press) {
	const b = document.createElement("button");
	b.type = "button";
	b.textContent = words;
	b.tabIndex = -1; // the field itself takes what is typed
	if (says) b.setAttribute("aria-label", says);
	b.addEventListener("click", press);
	return b;
}

function close() { for (const p of document.querySelectorAll(".pad")) p.remove(); }

function open(e) {
	close();
	const keys = document.createElement("span");
	keys.className = "pad";
	keys.setAttribute("role", "group");
	keys.setAttribute("aria-label", t("Figures"));
	keys.addEventListener("mousedown", (press) => press.preventDefault()); // the field stays in use
	const change = (value) => {
		e.value = value;
		e.dispatchEvent(new Event("input", { bubbles: true }));
	};
	for (const f of figures) keys.append(key(f, "", () => { if (f !== "." || !/[.,]/.test(e.value)) change(e.value + f); }));
	keys.append(key("⌫", t("Take back the last figure"), () => change(e.value.slice(0, -1))));
	const then = next(e);
	const last = key(then ? t("Next figure") : t("Done"), "", () => { if (then) then.focus(); else { e.blur(); e.form.querySelector("button.main").scrollIntoView({ block: "nearest" }); } });
	last.className = "next";
	keys.append(last);
	e.closest(".field").append(keys);
	keys.scrollIntoView({ block: "nearest" });
}

document.addEventListener("focusin", (e) => {
	if (e.target.matches("[data-pad]")) open(e.target);
	else if (!e.target.closest(".pad")) close();
});
document.addEventListener("focusout", (e) => { if (!e.relatedTarget && e.target.matches("[data-pad]")) close(); });
if (document.activeElement.matches("[data-pad]")) open(document.activeElement);
