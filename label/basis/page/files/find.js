// Search without a server, as page/find.go does it, and a warning where the last day that a page names
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
	if (!input) return;
	if (typeof labels === "undefined") { // a server searches
		const key = "filter"; // the list that a person changed has the focus again on the next page
		try {
			const list = input.form.elements[sessionStorage.getItem(key)];
			sessionStorage.removeItem(key);
			if (list) list.focus();
		} catch { /* no storage: the focus is at the top */ }
		input.form.addEventListener("change", function (e) {
			if (e.target.localName !== "select") return;
			try { sessionStorage.setItem(key, e.target.name); } catch { /* as above */ }
			input.form.requestSubmit();
		});
		return;
	}
	const id = 0, area = 1, equipment = 2, code = 3, path = 4, word = 5, signal = 6, says = 7, kit = 8, state = 9, low = 10, energy = 11, rank = 12, todo = 13;
	const form = input.form, most = 100, answers = ["elsewhere", "differs", "unknown"];
	const found = document.getElementById("found"), rows = document.getElementById("found-rows"), count = document.getElementById("found-count");
	const squash = function (s) { return s.toLowerCase().replace(/[^\p{L}\p{Nd}]/gu, ""); };
	const texts = labels.map(function (l) { return [l[id], l[area], l[equipment], l[code], l[word], l[todo]].join("\n").toLowerCase(); });
	const short = labels.map(function (l) { return squash(l[id]) + "\n" + squash(l[code]); });
	const kits = new Set(labels.map(function (l) { return l[kit].toLowerCase(); }));

	// Where the page of a label is, "" for none. The data name its file, which lies elsewhere where nothing serves
	// the index file of a folder; the form says where.
	function page(l) {
		const parts = l[path].split("/"), at = parts[2] === "index.html" ? form.dataset.codePage : form.dataset.labelPage;
		return l[path] && at.replace("{code}", parts[1]).replace("{facts}", parts[2]);
	}
	// The words of a text; the name of a kit is one of them.
	function terms(text) {
		const words = text.toLowerCase().split(/\s+/).filter(Boolean), all = [];
		while (words.length > 0) {
			let n = words.length;
			while (n > 1 && !kits.has(words.slice(0, n).join(" "))) n--;
			all.push(words.splice(0, n).join(" "));
		}
		return all;
	}
	function matches(i, all) {
		const l = labels[i];
		return all.every(function (t) {
			const s = squash(t);
			return t === l[kit].toLowerCase() || t === l[signal].toLowerCase() || texts[i].includes(t) || s !== "" && short[i].includes(s);
		});
	}
	function has(l) {
		const is = function (name, value) { const asked = form.elements[name].value; return asked === "" || asked === value; };
		return is("area", l[area]) && is("kit", l[kit]) && is("signal", l[signal]) && (is("standing", l[state]) || form.elements.standing.value === l[low]);
	}
	// As a person sorts names: MCC-2 before MCC-10. See assess.Natural.
	const text = function (a, b) {
		const parts = function (s) { return s.toLowerCase().match(/\d+|\D/g) || []; };
		const x = parts(a), y = parts(b), digits = /^\d/;
		for (let i = 0; i < x.length && i < y.length; i++) {
			const p = x[i], q = y[i];
			if (digits.test(p) && digits.test(q)) {
				const n = p.replace(/^0+/, ""), m = q.replace(/^0+/, "");
				if (n !== m) return n.length - m.length || (n < m ? -1 : 1);
			} else if (p[0] !== q[0]) {
				return p < q ? -1 : 1;
			}
		}
		return x.length - y.length || (a < b ? -1 : a > b ? 1 : 0);
	};
	const orders = {
		worst: function (a, b) { return a[rank] - b[rank]; },
		id: function (a, b) { return text(a[id], b[id]); },
		area: function (a, b) { return text(a[area], b[area]) || text(a[id], b[id]); },
		energy: function (a, b) { return b[energy] - a[energy]; },
	};

	// What a text says that was scanned: a link, or a code with or without facts. null for other texts.
	function scanned(s) {
		const m = /^(?:(.*)\/V\/)?([0-9A-Z-]{16,25})(?:[ \/](.*))?$/i.exec(s.trim());
		if (!m) return null;
		const c = m[2].toUpperCase().replaceAll("-", "").replaceAll("O", "0").replace(/[IL]/g, "1");
		if (!/^[0-9A-HJKMNP-TV-Z]{16}$/.test(c)) return null;
		return { link: m[1], code: c, facts: (m[3] || "").replace(/\/(index\.html)?$/, "").toUpperCase() };
	}
	// The host and the path of a link; of this machine, and of a usual port, only the path counts.
	function place(link) {
		const m = /^(?:HTTPS?:\/\/)?([^/]*)(.*)$/.exec(link.trim().toUpperCase().replace(/\/$/, ""));
		const host = m[1].replace(/:(80|443)$/, "");
		return { host: host, path: m[2], local: /^(|(LOCALHOST|127(\.\d+){3}|\[::1\])(:\d+)?)$/.test(host) };
	}
	function ours(link) {
		const links = form.dataset.links.split(" ").filter(Boolean), at = place(link);
		if (links.length === 0 || at.local && at.path === "") return true;
		return links.some(function (l) { const p = place(l); return p.path === at.path && (at.local || p.host === at.host); });
	}
	// Where a text leads at once: {to: address}, {answer: what to say}; null for a list.
	function straight(asked) {
		const s = squash(asked), t = scanned(asked);
		const named = labels.filter(function (l) { return s !== "" && squash(l[id]) === s && l[state] !== "replaced"; });
		if (!t || named.length > 0 && t.link === undefined) return !t && named.length === 1 && named[0][path] ? { to: page(named[0]) } : null;
		if (t.link !== undefined && !ours(t.link)) return { answer: "elsewhere" };
		const l = labels.find(function (l) { return l[code].replaceAll("-", "") === t.code; });
		if (!l) {
			const words = terms(asked);
			return t.link === undefined && labels.some(function (_, i) { return matches(i, words); }) ? null : { answer: "unknown" };
		}
		const facts = l[path].split("/")[2]; // index.html where the record is not at hand: that page leads on
		if (t.facts !== "" && facts !== "index.html" && t.facts !== facts) return { answer: "differs", must: page(l) };
		return { to: page(l) };
	}

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
	// must is the page of the label whose code was scanned with other facts; undefined for none.
	function say(answer, must) {
		for (const a of answers) document.getElementById(a).hidden = a !== answer;
		for (const old of document.querySelectorAll(".must")) old.remove();
		if (!must) return;
		const p = document.createElement("p"), a = document.createElement("a");
		p.className = "must";
		p.lang = "en";
		a.href = must;
		a.textContent = "What the label with this code must say";
		p.append(a);
		document.getElementById(answer).append(p);
	}
	function list() {
		const all = terms(input.value), names = ["area", "standing", "kit", "signal", "sort"];
		const any = all.length > 0 || names.some(function (n) { return form.elements[n].value !== ""; });
		say("");
		found.hidden = !any;
		rows.replaceChildren();
		if (!any) return;
		const hits = labels.filter(function (l, i) { return has(l) && matches(i, all); });
		if (orders[form.elements.sort.value]) hits.sort(orders[form.elements.sort.value]);
		for (const l of hits.slice(0, most)) {
			const row = document.createElement("tr");
			const head = cell(row, "th", l[path] ? "" : l[id]);
			head.scope = "row";
			if (l[path]) {
				const a = document.createElement("a");
				a.href = page(l);
				a.textContent = l[id];
				head.append(a);
			}
			small(head, [l[equipment], l[area]].filter(Boolean).join(", "));
			cell(row, "td", [l[signal], l[says]].filter(Boolean).join(" "));
			cell(row, "td", l[word]);
			cell(row, "td", l[code] || "–").className = "code";
			rows.append(row);
		}
		document.getElementById("found-none").hidden = hits.length > 0;
		count.textContent = hits.length + " found" + (hits.length > most ? ", the first " + most : "");
	}
	function search(go) {
		const to = straight(input.value);
		if (to && to.to) { go(to.to); return; }
		list();
		if (to) { found.hidden = true; say(to.answer, to.must); }
	}
	form.addEventListener("submit", function (e) { e.preventDefault(); search(function (to) { location.assign(to); }); });
	input.addEventListener("input", list);
	form.addEventListener("change", function (e) { if (e.target !== input) list(); }); // its rows stay while a person clicks on one
	const asked = new URLSearchParams(location.search);
	for (const e of form.elements) if (e.name && asked.get(e.name)) e.value = asked.get(e.name);
	if (location.search !== "") search(function (to) { location.replace(to); }); // back must not come here again
})();
