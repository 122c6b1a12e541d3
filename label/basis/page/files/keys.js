// Takes what is typed while no field has the focus, as a desk scanner types: it goes into the search, or on
// pages without one is kept until Enter, and then leads to the start page's. A page that reads codes itself is
// told. Nothing else that a keyboard does is touched: keys with Ctrl, Alt or Meta, a space that scrolls or
// presses a button, Enter on a link, what an input method composes.
(function () {
	"use strict";
	const box = document.getElementById("q"), home = document.querySelector("header > a"), reads = document.querySelector(".scan");
	const pause = 1000; // milliseconds without a key after which what was typed is dropped
	let typed = "", timer = 0, shown = null;

	function drop() {
		typed = "";
		clearTimeout(timer);
		if (shown) shown.hidden = true;
	}
	function tell() { // what was typed so far, so that nobody types unseen
		if (!shown) {
			shown = document.createElement("p");
			shown.className = "desk";
			shown.setAttribute("role", "status");
			document.body.append(shown);
		}
		shown.textContent = "Enter finds: " + typed;
		shown.hidden = false;
	}
	function inField() {
		const e = document.activeElement;
		return e && (e.matches("input, select, textarea, iframe, video") || e.isContentEditable);
	}
	// A page on which a person has filled in a form is not left.
	function started() {
		return Array.from(document.querySelectorAll("form[method=post] :is(input, textarea, select)")).some(function (e) {
			if (e.type === "hidden") return false;
			if (e.localName === "select") return Array.from(e.options).some(function (o, i) { return o.selected !== (o.defaultSelected || i === 0 && !e.querySelector("[selected]")); });
			return e.type === "checkbox" || e.type === "radio" ? e.checked !== e.hasAttribute("checked") : e.value !== e.defaultValue;
		});
	}
	function find() {
		const text = typed.trim();
		drop();
		if (reads && !reads.dispatchEvent(new CustomEvent("read", { detail: text, cancelable: true }))) return;
		const to = new URL(home.href);
		to.search = new URLSearchParams({ q: text });
		location.assign(to);
	}

	document.addEventListener("keydown", function (e) {
		const altGr = e.getModifierState("AltGraph");
		if (e.defaultPrevented || e.isComposing || inField() || e.metaKey || !altGr && (e.ctrlKey || e.altKey)) return;
		if (e.key === "Enter" && typed.trim() !== "") {
			e.preventDefault();
			find();
		} else if (e.key.length !== 1) {
			if (!["Shift", "AltGraph", "CapsLock", "Unidentified"].includes(e.key)) drop(); // a person moves about
		} else if (typed === "" && !/[\p{L}\p{Nd}]/u.test(e.key)) {
			return; // no code and no id begins so, and browsers use / and '
		} else if (box) {
			box.focus();
			box.select(); // what comes replaces what was searched before; the browser puts this key there too
		} else if (!started()) {
			e.preventDefault();
			typed += e.key;
			clearTimeout(timer);
			timer = setTimeout(drop, pause);
			tell();
		}
	});
	// What is scanned next replaces what was just asked for.
	if (box) box.form.addEventListener("submit", function () { if (document.activeElement === box) box.select(); });
})();
