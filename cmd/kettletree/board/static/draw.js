// Drawing by finger and mouse: a line is pulled from one box to another. It leads to the same address as a tap on the one and then on the
// other. The sheet itself is still scrolled by a finger that begins beside a box.

const far = 12; // px that a finger moves before it pulls

let from = null, begun = null, line = null, pulled = false;

const sheetOf = (e) => e && e.closest && e.closest("#sheet.drawn-on");
const keys = (sheet) => JSON.parse(sheet.dataset.keys || "{}");

function boxOf(e) {
	const sheet = sheetOf(e), g = sheet && e.closest("g[id]");
	return g && keys(sheet)[g.id] ? g : null;
}

// spot is a point of the screen as the drawing counts.
function spot(x, y) {
	return new DOMPoint(x, y).matrixTransform(from.ownerSVGElement.getScreenCTM().inverse());
}

function drop() {
	if (line) line.remove();
	if (from) from.classList.remove("pulling");
	from = line = null;
}

document.addEventListener("pointerdown", (p) => {
	drop();
	pulled = false;
	const box = !p.button && p.isPrimary && boxOf(p.target);
	if (!box) return;
	p.stopPropagation(); // the map would be moved
	from = box;
	begun = p;
}, true);

document.addEventListener("pointermove", (p) => {
	if (!from || !from.isConnected) return;
	if (!line) {
		if (Math.hypot(p.clientX - begun.clientX, p.clientY - begun.clientY) < far) return;
		const b = from.getBoundingClientRect(), a = spot(b.left + b.width / 2, b.top + b.height / 2);
		line = document.createElementNS("http://www.w3.org/2000/svg", "line");
		line.setAttribute("class", "pull");
		line.setAttribute("x1", a.x);
		line.setAttribute("y1", a.y);
		from.ownerSVGElement.append(line);
		from.classList.add("pulling");
		pulled = true;
	}
	const to = spot(p.clientX, p.clientY);
	line.setAttribute("x2", to.x);
	line.setAttribute("y2", to.y);
});

document.addEventListener("pointerup", (p) => {
	if (!from) return;
	const start = from, to = line && boxOf(document.elementFromPoint(p.clientX, p.clientY));
	drop();
	if (!to || to === start) return;
	const sheet = sheetOf(to), link = document.createElement("a"); // the board follows links
	link.href = "/draw?" + new URLSearchParams({ pick: keys(sheet)[start.id], to: keys(sheet)[to.id] }) + "#line";
	sheet.append(link);
	link.click();
	link.remove();
});

document.addEventListener("pointercancel", drop);
document.addEventListener("touchmove", (e) => { if (from && e.cancelable) e.preventDefault(); }, { passive: false }); // the sheet stays where it is
document.addEventListener("dragstart", (e) => { if (sheetOf(e.target)) e.preventDefault(); }); // a link would be dragged
document.addEventListener("click", (e) => { // what was pulled was no tap
	if (pulled && e.isTrusted && sheetOf(e.target)) { e.preventDefault(); e.stopPropagation(); }
	if (e.isTrusted) pulled = false;
}, true);
