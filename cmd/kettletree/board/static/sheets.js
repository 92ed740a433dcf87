// Ticks of sheets, kept on the device for two weeks, and the bell of the cooling log, which rings while the page is open.
const key = "ticks", days = 14;

function ticks() {
	try { return JSON.parse(localStorage.getItem(key)) || {}; } catch { return {}; }
}
function keep(all) {
	const oldest = new Date(Date.now() - days * 86400000).toISOString().slice(0, 10);
	for (const name of Object.keys(all)) if (all[name] < oldest) delete all[name];
	try { localStorage.setItem(key, JSON.stringify(all)); } catch { /* the device keeps nothing */ }
}
document.addEventListener("change", (e) => {
	const name = e.target.dataset && e.target.dataset.tick;
	if (!name) return;
	const all = ticks();
	if (e.target.checked) all[name] = new Date().toISOString().slice(0, 10); else delete all[name];
	keep(all);
});

let sound = null; // made by a tap, for a browser lets no page ring unasked
const rung = new Set();

function ring() {
	if (!sound) return;
	for (let n = 0; n < 6; n++) {
		const tone = sound.createOscillator(), loud = sound.createGain(), at = sound.currentTime + n * 0.5;
		tone.frequency.value = n % 2 ? 660 : 880;
		loud.gain.setValueAtTime(0.4, at);
		loud.gain.setValueAtTime(0, at + 0.35);
		tone.connect(loud).connect(sound.destination);
		tone.start(at);
		tone.stop(at + 0.4);
	}
	if (navigator.vibrate) navigator.vibrate([300, 200, 300]);
}

let main = null, ahead = 0; // by how much the kitchen's clock is ahead of the device's

function look() {
	if (!main) return;
	for (const row of main.querySelectorAll("[data-ring]")) {
		const left = Math.ceil((Date.parse(row.dataset.ring) - Date.now() - ahead) / 60000);
		const shown = row.querySelector(".left");
		if (shown) shown.textContent = left > 0 ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}` : "0:00";
		row.classList.toggle("due", left <= 0);
		const name = row.dataset.ring + row.textContent.trim().slice(0, 40);
		if (left <= 0 && left > -60 && !rung.has(name)) {
			if (sound) { rung.add(name); ring(); }
		}
	}
}

function begin(page) {
	main = page;
	if (!main) return;
	const all = ticks();
	for (const box of main.querySelectorAll("[data-tick]")) box.checked = box.dataset.tick in all;
	const bell = main.querySelector(".bell");
	if (bell) {
		bell.hidden = false;
		const rings = bell.querySelector(".rings");
		rings.hidden = !sound;
		bell.querySelector("[data-bell]").onclick = () => {
			sound = sound || new AudioContext();
			sound.resume();
			rings.hidden = false;
			look();
		};
	}
	if (main.dataset.now) ahead = Date.parse(main.dataset.now) - Math.floor(Date.now() / 60000) * 60000;
	look();
}

begin(document.getElementById("main"));
document.addEventListener("shown", (e) => begin(e.detail));
setInterval(look, 5000);
