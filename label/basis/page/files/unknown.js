// On a page that does not exist, of published files: where its address names a code of this site with other facts,
// leads to the page of that code, as a server does it.
(function () {
	"use strict";
	const root = new URL("./", document.currentScript.src), at = location.pathname;
	const named = /^V\/([0-9A-Z-]{16,25})\/([^/]+)\/?$/i.exec(at.startsWith(root.pathname) ? at.slice(root.pathname.length) : "");
	if (!named || named[2] === "index.html") return;
	const to = new URL("V/" + named[1].toUpperCase() + "/index.html", root);
	fetch(to, { method: "HEAD" }).then(function (answer) {
		if (!answer.ok) return;
		const p = document.createElement("p"), a = document.createElement("a");
		p.lang = "en";
		a.href = to;
		a.textContent = "What the label with this code must say";
		p.append(a);
		document.querySelector("main").append(p);
	}, function () { /* no reception: the page says enough */ });
})();
