// Opens and closes the branches of the plant, and goes to a location on files, as a server does it by its
// address. The tree can be read without it.
(function () {
	"use strict";
	const branches = Array.from(document.querySelectorAll(".tree details"));
	for (const folds of document.querySelectorAll(".folds")) folds.hidden = branches.length === 0;
	for (const b of document.querySelectorAll(".folds button")) {
		b.addEventListener("click", function () { for (const d of branches) d.open = b.value !== ""; });
	}

	const form = document.querySelector(".jump");
	if (!form || typeof places === "undefined") return;
	const squash = function (s) { return s.toLowerCase().replace(/[^\p{L}\p{Nd}]/gu, ""); };
	const none = form.querySelector(".refusal"), input = form.elements.at;
	form.hidden = false;
	function find(asked) {
		if (Object.hasOwn(places, asked)) return asked;
		const s = squash(asked), same = Object.keys(places).filter(function (id) { return s !== "" && squash(id) === s; });
		return same.length === 1 ? same[0] : null;
	}
	form.addEventListener("submit", function (e) {
		e.preventDefault();
		const id = find(input.value.trim());
		none.hidden = id !== null;
		if (id === null) return;
		const file = places[id] === 1 ? "index.html" : places[id] + ".html";
		location.assign(new URL(file, form.action).href + "#" + encodeURIComponent("at-" + id.replace(/\s/g, "_")));
	});
	const asked = new URLSearchParams(location.search).get("at");
	if (asked) { input.value = asked; form.requestSubmit(); }
})();
