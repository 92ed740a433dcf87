// The map by finger, wheel and keys: two fingers or + and - change its size, the arrow keys and a finger move it. What was in the
// middle stays in the middle, also when a page takes the place of another.
import { t } from "./words.js";

let width = 0; // of the sheet in px; 0 as the style sheet says
let middle = null; // of what is seen, as shares of the sheet
let of = ""; // the box that was in the middle of the last page

const least = 300, most = 6000;
const led = new WeakSet(); // sheets that obey already: one stays where a page takes the place of another

function seen(sheet) {
	const svg = sheet.querySelector("svg"), r = svg.getBoundingClientRect();
	return { x: (sheet.scrollLeft + sheet.clientWidth / 2) / r.width, y: (sheet.scrollTop + sheet.clientHeight / 2) / r.height };
}

function look(sheet, at) {
	const r = sheet.querySelector("svg").getBoundingClientRect();
	sheet.scrollLeft = at.x * r.width - sheet.clientWidth / 2;
	sheet.scrollTop = at.y * r.height - sheet.clientHeight / 2;
}

// size changes the size, and keeps the point of the screen where it is; without one, the middle.
function size(sheet, to, x, y) {
	const svg = sheet.querySelector("svg"), r = svg.getBoundingClientRect(), f = sheet.getBoundingClientRect();
	if (x === undefined) { x = f.left + f.width / 2; y = f.top + f.height / 2; }
	const at = { x: (x - r.left) / r.width, y: (y - r.top) / r.height };
	width = Math.min(most, Math.max(least, to));
	svg.style.width = width + "px";
	const n = svg.getBoundingClientRect();
	sheet.scrollLeft += n.left + at.x * n.width - x;
	sheet.scrollTop += n.top + at.y * n.height - y;
	middle = seen(sheet);
}

function toBox(sheet, box) {
	const b = box.getBoundingClientRect(), r = sheet.querySelector("svg").getBoundingClientRect();
	look(sheet, { x: (b.left + b.width / 2 - r.left) / r.width, y: (b.top + b.height / 2 - r.top) / r.height });
}

function begin(main) {
	const sheet = main && main.querySelector("#sheet");
	if (!sheet) { width = 0; middle = null; of = ""; return; }
	const svg = sheet.querySelector("svg");
	if (width && !sheet.classList.contains("part")) svg.style.width = width + "px";
	const box = sheet.dataset.box && document.getElementById(sheet.dataset.box);
	const is = sheet.dataset.box + (sheet.classList.contains("part") ? " alone" : "");
	const first = box && is !== of ? box : middle ? null : document.getElementById(sheet.dataset.pot || "");
	if (first) toBox(sheet, first); else look(sheet, middle || { x: 0.5, y: 0.5 });
	of = box ? is : "";
	middle = seen(sheet);
	keys(main, sheet);
	if (led.has(sheet)) return;
	led.add(sheet);
	sheet.addEventListener("scroll", () => { middle = seen(sheet); }, { passive: true });

	const fingers = new Map();
	let apart = 0, from = 0, dragged = null;
	const gap = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY); };
	sheet.addEventListener("pointerdown", (p) => {
		fingers.set(p.pointerId, p);
		if (fingers.size === 2) { apart = gap(); from = sheet.querySelector("svg").getBoundingClientRect().width; }
		if (p.pointerType === "mouse" && p.button === 0) dragged = { x: p.clientX, y: p.clientY, left: sheet.scrollLeft, top: sheet.scrollTop, far: false };
	});
	sheet.addEventListener("pointermove", (p) => {
		if (!fingers.has(p.pointerId)) return;
		fingers.set(p.pointerId, p);
		if (fingers.size === 2 && apart > 0) {
			const [a, b] = [...fingers.values()];
			size(sheet, from * gap() / apart, (a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2);
		} else if (dragged) {
			const dx = p.clientX - dragged.x, dy = p.clientY - dragged.y;
			dragged.far = dragged.far || Math.hypot(dx, dy) > 6;
			if (dragged.far) { sheet.scrollLeft = dragged.left - dx; sheet.scrollTop = dragged.top - dy; }
		}
	});
	for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
		sheet.addEventListener(end, (p) => { fingers.delete(p.pointerId); apart = 0; if (end !== "pointerup") dragged = null; });
	}
	sheet.addEventListener("click", (p) => { // a drag that ends on a box does not choose it
		if (dragged && dragged.far) { p.preventDefault(); p.stopPropagation(); }
		dragged = null;
	}, true);
	sheet.addEventListener("dragstart", (p) => p.preventDefault());
	sheet.addEventListener("wheel", (p) => {
		if (!p.ctrlKey) return;
		p.preventDefault();
		size(sheet, sheet.querySelector("svg").getBoundingClientRect().width * Math.exp(-p.deltaY / 300), p.clientX, p.clientY);
	}, { passive: false });
	sheet.addEventListener("keydown", (k) => {
		const wide = sheet.querySelector("svg").getBoundingClientRect().width;
		if (k.key === "+" || k.key === "=") size(sheet, wide * 1.25);
		else if (k.key === "-") size(sheet, wide / 1.25);
		else return;
		k.preventDefault();
	});
}

// keys puts two buttons in the place of the five sizes.
function keys(main, sheet) {
	const sizes = main.querySelector(".sizes");
	sizes.classList.add("two-only");
	sizes.replaceChildren(...[["−", t("Smaller"), 1 / 1.4], ["+", t("Larger"), 1.4]].map(([sign, name, times]) => {
		const b = document.createElement("button");
		b.type = "button";
		b.textContent = sign;
		b.setAttribute("aria-label", name);
		b.addEventListener("click", () => size(sheet, sheet.querySelector("svg").getBoundingClientRect().width * times));
		return b;
	}));
}

begin(document.getElementById("main"));
for (const when of ["shown", "drawn"]) document.addEventListener(when, (e) => begin(e.detail));
