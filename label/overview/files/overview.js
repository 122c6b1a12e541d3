// In which plants an id or a code may be, as report.Names says it. The page can be used without it: each plant has
// a search of its own.
(function () {
	"use strict";
	const form = document.getElementById("find");
	if (!form || !form.dataset.names) return;
	const input = document.getElementById("q"), all = document.getElementById("all"), may = document.getElementById("may");
	document.querySelector("label[for=q]").textContent = "Find an id or code in all plants, or anything in one: area, equipment, kit, DANGER";
	form.querySelector(".why").textContent = "Press the button for all plants, or Search at one. The QR code of a label leads straight to its page.";
	all.hidden = false;

	const squash = function (s) { return s.toLowerCase().replace(/[^\p{L}\p{Nd}]/gu, ""); };
	function number(name) { // FNV-1a, 32 bits, folded to 24
		let h = 0x811c9dc5;
		for (const b of new TextEncoder().encode(squash(name))) h = Math.imul(h ^ b, 0x01000193);
		return (h >>> 24) ^ (h & 0xffffff);
	}
	// The code that a text holds: a code with or without hyphens, or the link of a label. The text itself if none.
	function named(text) {
		const m = /^(?:.*\/V\/)?([0-9A-Z-]{16,25})(?:[ \/].*)?$/i.exec(text);
		if (!m) return text;
		const code = m[1].toUpperCase().replaceAll("-", "").replaceAll("O", "0").replace(/[IL]/g, "1");
		return /^[0-9A-HJKMNP-TV-Z]{16}$/.test(code) ? code : text;
	}
	function has(names, numbers) {
		const bytes = atob(names.replaceAll("-", "+").replaceAll("_", "/"));
		for (let i = 0; i + 2 < bytes.length; i += 3) {
			if (numbers.includes(bytes.charCodeAt(i) << 16 | bytes.charCodeAt(i + 1) << 8 | bytes.charCodeAt(i + 2))) return true;
		}
		return false;
	}
	function say(to, name, text) {
		const e = document.createElement(name);
		e.textContent = text;
		to.append(e);
		return e;
	}
	function show(text) {
		may.replaceChildren();
		const numbers = [number(text), number(named(text))];
		const list = document.createElement("ul");
		let unknown = 0;
		for (const [name, search, names] of plantNames) {
			if (names === "") {
				unknown++;
			} else if (has(names, numbers)) {
				const item = say(list, "li", "");
				if (search === "") item.textContent = name;
				else say(item, "a", name).href = search + "?q=" + encodeURIComponent(text);
			}
		}
		say(may, "p", list.children.length === 0 ? "No plant has the id or code " + text + "." : text + " may be in:");
		if (list.children.length > 0) may.append(list);
		if (unknown > 0) say(may, "p", "Not known of " + unknown + (unknown === 1 ? " plant" : " plants") + ": ask there.");
	}
	function find() {
		const text = input.value.trim();
		if (squash(text) === "") {
			input.focus();
			return;
		}
		if (typeof plantNames !== "undefined") {
			show(text);
			return;
		}
		const script = document.createElement("script"); // read when it is asked for: of many plants it is long
		script.src = form.dataset.names;
		script.addEventListener("load", function () { show(text); });
		script.addEventListener("error", function () { may.replaceChildren(); say(may, "p", "The names of the plants cannot be read; use Search at a plant."); });
		document.head.append(script);
	}
	all.addEventListener("click", find);
	input.addEventListener("keydown", function (e) {
		if (e.key !== "Enter" || e.isComposing) return;
		e.preventDefault();
		find();
	});
})();
