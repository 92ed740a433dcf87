// Run in a page that shows a drawing or a sheet of labels. It looks at every line of words as the browser sets it: whether
// it runs over its box or out of its sheet, and whether it lies on another.
(() => {
	const found = {wide: [], overlaps: [], boxes: [], lines: 0, smallest: 1e9, scroll: document.documentElement.scrollWidth};
	const slack = 1; // heights and widths of letters are rounded to whole pixels
	const svg = document.querySelector("svg");
	const sheet = svg ? svg.getBoundingClientRect() : {left: 0, right: innerWidth, top: 0, bottom: document.documentElement.scrollHeight};
	const lines = [];
	const inside = (box, of, name) => {
		if (box.left < of.left - slack || box.right > of.right + slack || box.top < of.top - slack || box.bottom > of.bottom + slack)
			found.wide.push(name);
	};
	const add = (box, words, size) => {
		if (box.width === 0) return;
		lines.push({box, words});
		inside(box, sheet, "sheet: " + words);
		found.smallest = Math.min(found.smallest, size);
	};
	for (const text of document.querySelectorAll("svg text"))
		add(text.getBoundingClientRect(), text.textContent, parseFloat(text.getAttribute("font-size")) * text.getScreenCTM().a);
	if (svg) {
		for (const rect of document.querySelectorAll("svg > rect")) { // a bar holds the words that begin in it
			const bar = rect.getBoundingClientRect();
			if (bar.height > sheet.height / 2 || bar.height > 40) continue;
			for (const {box, words} of lines)
				if (box.left > bar.left && box.left < bar.right && box.top + box.height / 2 > bar.top && box.top + box.height / 2 < bar.bottom &&
					box.right > bar.right + slack) found.wide.push("bar: " + words);
		}
	}
	const labels = [...document.querySelectorAll("article")].map(a => a.getBoundingClientRect());
	for (const article of document.querySelectorAll("article")) {
		const of = article.getBoundingClientRect();
		if (article.scrollWidth > article.clientWidth || article.scrollHeight > article.clientHeight)
			found.wide.push("label: " + article.querySelector("h2").textContent);
		if (of.left < 1 || of.right > innerWidth - 1) // a frame at the very edge is cut off in print
			found.wide.push("edge: label " + article.querySelector("h2").textContent);
		for (const part of article.children) {
			const range = document.createRange(), texts = document.createTreeWalker(part, NodeFilter.SHOW_TEXT);
			while (texts.nextNode()) { // what is set apart within a line counts once
				range.selectNodeContents(texts.currentNode);
				for (const box of range.getClientRects()) {
					inside(box, of, "label: " + part.textContent);
					add(box, texts.currentNode.textContent, parseFloat(getComputedStyle(part).fontSize));
				}
			}
		}
	}
	const meet = (a, b, by) => a.left < b.right - by && b.left < a.right - by && a.top < b.bottom - by && b.top < a.bottom - by;
	for (let i = 0; i < labels.length; i++) for (let j = 0; j < i; j++)
		if (meet(labels[i], labels[j], 0)) found.boxes.push(i + " and " + j);
	for (let i = 0; i < lines.length; i++) for (let j = 0; j < i; j++) {
		// Boxes of lines are as high as the font's tallest letters: they may touch by a quarter of a line.
		const by = Math.max(slack, Math.min(lines[i].box.height, lines[j].box.height) / 4);
		if (meet(lines[i].box, lines[j].box, by)) found.overlaps.push(lines[i].words + " | " + lines[j].words);
	}
	found.lines = lines.length;
	return found;
})()
