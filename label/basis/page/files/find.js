// Search without a server, and a warning where the last day that a page names
// has passed. The pages can be read without it.
(function () {
	"use strict";
	const day = new Date();
	const today = [day.getFullYear(), String(day.getMonth() + 1).padStart(2, "0"), String(day.getDate()).padStart(2, "0")].join("-");
	const verdict = document.querySelector("[data-until]");
	if (verdict && verdict.dataset.until !== "" && verdict.dataset.until < today) {
		for (const note of document.querySelectorAll(".past")) note.hidden = false;
	}

	const input = document.getElementById("q");
	if (!input || typeof labels === "undefined") return;
	const found = document.getElementById("found"), rows = document.getElementById("found-rows"), count = document.getElementById("found-count");
	const most = 100;
	const texts = labels.map(function (l) {
		return [l[0], l[1], l[2], l[3], l[3].replaceAll("-", ""), l[5]].join("\n").toLowerCase();
	});
	function cell(row, name, text) {
		const c = document.createElement(name);
		c.textContent = text;
		row.append(c);
		return c;
	}
	function small(to, text) {
		if (!text) return;
		const s = document.createElement("span");
		s.className = "why";
		s.textContent = text;
		to.append(s);
	}
	function search() {
		const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
		found.hidden = words.length === 0;
		rows.replaceChildren();
		if (words.length === 0) return;
		let n = 0;
		for (let i = 0; i < labels.length; i++) {
			if (!words.every(function (w) { return texts[i].includes(w); })) continue;
			if (++n > most) continue;
			const l = labels[i], row = document.createElement("tr");
			const head = cell(row, "th", l[4] ? "" : l[0]);
			head.scope = "row";
			if (l[4]) {
				const a = document.createElement("a");
				a.href = l[4];
				a.textContent = l[0];
				head.append(a);
			}
			small(head, [l[2], l[1]].filter(Boolean).join(", "));
			cell(row, "td", [l[6], l[7]].filter(Boolean).join(" "));
			cell(row, "td", l[5]);
			cell(row, "td", l[3] || "–").className = "code";
			rows.append(row);
		}
		count.textContent = n + " found" + (n > most ? ", the first " + most : "");
	}
	input.form.addEventListener("submit", function (e) { e.preventDefault(); search(); });
	input.addEventListener("input", search);
	const asked = new URLSearchParams(location.search).get("q");
	if (asked) { input.value = asked; search(); }
})();
