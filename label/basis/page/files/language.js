// Shows what a page says to whoever scans a label in one language: the one that
// the reader chose, else the first that the browser asks for. Without this
// script all languages of the site are shown.
(function () {
	"use strict";
	const said = Array.from(document.querySelectorAll(".said[lang]"));
	const languages = Array.from(new Set(said.map(function (e) { return e.lang; })));
	if (languages.length < 2) return;
	const buttons = Array.from(document.querySelectorAll(".languages button"));
	function show(language) {
		if (!languages.includes(language)) return;
		document.documentElement.classList.add("one-language");
		for (const e of said) e.hidden = e.lang !== language;
		for (const b of buttons) b.setAttribute("aria-pressed", String(b.value === language));
	}
	function known(asked) {
		const plain = function (s) { return s.toLowerCase().split("-")[0]; };
		return languages.find(function (l) { return l.toLowerCase() === asked.toLowerCase(); }) ||
			languages.find(function (l) { return plain(l) === plain(asked); });
	}
	function chosen() {
		try { return localStorage.getItem("language"); } catch { return null; } // a browser may keep nothing
	}
	function choose(language) {
		show(language);
		try { localStorage.setItem("language", language); } catch { /* it counts on this page alone */ }
	}
	for (const b of buttons) b.addEventListener("click", function () { choose(b.value); });
	for (const e of document.querySelectorAll(".languages")) e.hidden = false;
	window.addEventListener("storage", function () { show(chosen()); }); // the small page within another one
	show([chosen()].concat(navigator.languages).filter(Boolean).map(known).find(Boolean));
})();
