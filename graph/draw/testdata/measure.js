// Run in a page that shows a sheet. For every node it compares the words with the outline; it also finds the smallest
// letters, in points on a sheet 420 mm wide.
(() => {
	const sheet = document.querySelector("svg").getBoundingClientRect();
	const perPoint = sheet.width / (420 / 25.4 * 72);
	const found = {wide: [], overlaps: [], smallest: 1e9, nodes: 0, width: sheet.width, height: sheet.height,
		scroll: document.documentElement.scrollWidth};
	const slack = 0.5 * perPoint;
	const pixel = Math.max(slack, 1); // heights of letters are rounded to whole pixels
	const shapes = [];
	for (const group of document.querySelectorAll("g.bought, g.made, g.step, g.dish, g.special")) {
		found.nodes++;
		const shape = group.querySelector(".shape").getBoundingClientRect();
		shapes.push([group.id, shape]);
		for (const text of group.querySelectorAll("text")) {
			const box = text.getBoundingClientRect();
			if (box.left < shape.left - slack || box.right > shape.right + slack ||
				box.top < shape.top - pixel || box.bottom > shape.bottom + pixel)
				found.wide.push(group.id + ": " + text.textContent);
		}
	}
	for (const text of document.querySelectorAll("text")) {
		// The em square of the letters: the size as it is set, scaled as the sheet is.
		const size = parseFloat(text.getAttribute("font-size")) * text.getScreenCTM().a / perPoint;
		found.smallest = Math.min(found.smallest, size);
		const box = text.getBoundingClientRect();
		if (box.left < sheet.left - slack || box.right > sheet.right + slack || box.bottom > sheet.bottom + slack)
			found.wide.push("sheet: " + text.textContent);
	}
	for (let i = 0; i < shapes.length; i++) for (let j = 0; j < i; j++) {
		const [a, b] = [shapes[i][1], shapes[j][1]];
		if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
			found.overlaps.push(shapes[i][0] + " and " + shapes[j][0]);
	}
	return found;
})()
