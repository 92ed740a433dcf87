// A code on a label read by the camera, into a field. It is loaded where the browser can read codes, and only when it is asked for.
export async function scan(field) {
	const dialog = document.createElement("dialog"), video = document.createElement("video"), says = document.createElement("p"), close = document.createElement("button");
	dialog.className = "scan";
	dialog.setAttribute("aria-label", field.dataset.scans);
	video.muted = video.playsInline = true;
	says.setAttribute("role", "status");
	close.type = "button";
	close.textContent = "×";
	close.setAttribute("aria-label", "×");
	dialog.append(video, says, close);
	document.body.append(dialog);
	let stream = null, over = false;
	const end = () => {
		over = true;
		if (stream) for (const t of stream.getTracks()) t.stop();
		dialog.remove();
		field.focus();
	};
	close.addEventListener("click", () => dialog.close());
	dialog.addEventListener("close", end);
	dialog.showModal();
	try {
		stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
		if (over) { for (const t of stream.getTracks()) t.stop(); return; }
		video.srcObject = stream;
		await video.play();
		const detector = new BarcodeDetector();
		while (!over) {
			const [found] = await detector.detect(video);
			if (found && found.rawValue.trim()) {
				field.value = found.rawValue.trim().replace(/^lot[\s:]+/i, "");
				field.dispatchEvent(new Event("input", { bubbles: true }));
				dialog.close();
				return;
			}
			await new Promise((next) => setTimeout(next, 120));
		}
	} catch (e) { // no camera, or nobody may use it: the field is there to type into
		if (!over) says.textContent = e.message || String(e);
	}
}
