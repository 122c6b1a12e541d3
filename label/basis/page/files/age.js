// Says before all else that a published page is out of date: its last check was too
// many days ago, or the day of it is not known. Only a small page within this one
// knows that day, so that a page whose label did not change stays the same file.
(function () {
	"use strict";
	const note = document.querySelector(".stale"), frame = document.querySelector("iframe.day");
	if (!note || !frame) return;
	const day = 24 * 60 * 60 * 1000, patience = 4000; // milliseconds
	const now = new Date();
	const today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
	function show(stale) {
		note.hidden = !stale;
		document.documentElement.classList.toggle("outdated", stale);
	}
	let known = false;
	window.addEventListener("message", function (e) {
		if (e.source !== frame.contentWindow || !e.data || typeof e.data.checked !== "string") return;
		const on = Date.parse(e.data.checked + "T00:00:00Z");
		known = !Number.isNaN(on);
		note.dataset.checked = e.data.checked;
		show(!known || today - on > Number(note.dataset.days) * day);
	});
	const ask = function () { frame.contentWindow.postMessage("checked?", "*"); };
	frame.addEventListener("load", ask);
	ask();
	window.addEventListener("load", function () { setTimeout(function () { if (!known) show(true); }, patience); });
})();
