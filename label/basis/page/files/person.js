"use strict";
// The pages are the same for everybody: this says in the header who is signed in, and lets the page
// for signing in lead back here. Without it the link just reads "Sign in".
(function () {
	var link = document.querySelector("header a.person");
	if (!link || !window.fetch) {
		return;
	}
	var root = new URL("../", link.href), here = location.pathname + location.search;
	if (here.indexOf(root.pathname) === 0 && here.indexOf(root.pathname + "sign-in/") !== 0) {
		var back = here.slice(root.pathname.length);
		if (back) {
			link.href += "?to=" + encodeURIComponent(back);
		}
	}
	fetch(new URL("who/", root), { credentials: "same-origin", cache: "no-store" }).then(function (answer) {
		return answer.ok ? answer.json() : null;
	}).then(function (who) {
		if (who && who.name) {
			link.textContent = who.name + ", " + who.role;
		}
	}).catch(function () { }); // no reception: the link stays as it is
})();
