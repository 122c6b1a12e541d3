// Notes what is on the equipment, with or without reception. Each tick is kept in the browser's own
// storage first, under a name that the ledger will have too, so that it can be sent again and is noted
// once. It is deleted when the server names it as noted.
(function () {
	"use strict";
	const top = document.getElementById("round"), bar = document.querySelector(".bar"), box = document.querySelector(".scan");
	const dialog = document.getElementById("here"), notSent = document.getElementById("sent-not");
	if (!top || !bar || !dialog.showModal) return; // the links lead to a form
	const waits = document.getElementById("waits"), sendNow = document.getElementById("send");
	const by = document.getElementById("by"), passphrase = document.getElementById("passphrase");
	const doors = Array.from(document.querySelectorAll(".door"));
	const prefix = "vouchmark tick " + location.pathname.replace(/[^/]*$/, "") + " ";
	const most = 20, first = 5000, longest = 300000; // ticks at once; milliseconds until the next try
	const short = { right: "right label", old: "older label", other: "label of other equipment", foreign: "not of this site", missing: "no label", damaged: "damaged" };
	const kept = new Map(); // ticks that the storage does not take
	const people = top.dataset.signs === "people";
	let me = null; // who is signed in; "" for nobody; null where that is not known
	let busy = false, timer = 0, pause = first, target = null, chosen = null, read = "";

	function code(text) { // as a label writes it, whatever was read or typed
		const at = Math.max(text.lastIndexOf("/V/"), text.lastIndexOf("/v/"));
		const bare = (at < 0 ? text : text.slice(at + 3)).trim().split(/[\s/]/)[0].toUpperCase().replace(/-/g, "").replace(/O/g, "0").replace(/[IL]/g, "1");
		return /^[0-9A-Z]{16}$/.test(bare) ? bare : "";
	}
	function doorOf(id) { return doors.find(function (d) { return d.dataset.id === id; }); }
	function doorWith(c) { return c && doors.find(function (d) { return d.dataset.code && code(d.dataset.code) === c; }); }
	// What was read, as a label shows it.
	function shown(text) {
		const c = code(text);
		return c ? c.match(/.{4}/g).join("-") : "“" + text.slice(0, 60) + "”";
	}
	const check = "If you typed it, check each character. If it is right, it is an older label, or one of another site.";
	function equipment(door) { return door.querySelector(".why").textContent.split(" · ")[0]; }

	// The ticks that are not sent, oldest first.
	function ticks() {
		const all = Array.from(kept.values());
		let keys = [];
		try { keys = Object.keys(localStorage); } catch (e) { /* it is turned off */ }
		for (const key of keys) {
			if (!key.startsWith(prefix)) continue;
			try { all.push(JSON.parse(localStorage.getItem(key))); } catch (e) { /* not ours: it holds up no other */ }
		}
		return all.filter(function (t) { return t && t.tick; }).sort(function (a, b) { return a.at_ms - b.at_ms; });
	}
	function keep(t) {
		try {
			localStorage.setItem(prefix + t.tick, JSON.stringify(t));
			kept.delete(t.tick);
		} catch (e) {
			kept.set(t.tick, t);
			problem(where());
		}
	}
	// where says what becomes of what is not sent.
	function where() {
		if (kept.size > 0) return "This device's storage is full or turned off: what you noted is lost if you close this page before it is sent.";
		return "What you noted is kept on this device.";
	}
	function forget(name) {
		kept.delete(name);
		try { localStorage.removeItem(prefix + name); } catch (e) { /* it was never there */ }
	}
	function problem(text, more) {
		notSent.textContent = text;
		if (more) notSent.append(" ", more);
		notSent.hidden = !text;
	}
	// who asks who is signed in: what is noted belongs to that person.
	async function who() {
		if (!people) return;
		try {
			const is = await (await fetch("../who/", { headers: { Accept: "application/json" }, credentials: "same-origin" })).json();
			me = is.name || "";
		} catch (e) { /* no reception: as before */ }
	}
	function signIn() {
		const to = document.createElement("a");
		to.href = "../sign-in/?to=round/";
		to.textContent = "Sign in";
		return to;
	}
	function name() {
		const bytes = new Uint8Array(16); // 128 random bits
		crypto.getRandomValues(bytes);
		return Array.from(bytes, function (b) { return b.toString(16).padStart(2, "0"); }).join("");
	}
	function day() {
		const now = new Date(), two = function (n) { return String(n).padStart(2, "0"); };
		return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
	}

	function badge(door, found, waiting) {
		const b = door.querySelector(".badge");
		b.className = "badge " + ({ right: "right", missing: "lacks", damaged: "lacks" }[found] || "wrong") + (waiting ? " waiting" : "");
		b.textContent = (short[found] || "not the present label") + (waiting ? ", not sent" : "");
	}
	function unseen(door) {
		const b = door.querySelector(".badge");
		b.className = "badge not";
		b.textContent = "not seen yet";
		says(door, "");
		delete door.dataset.ticked;
	}
	function says(door, text) { door.querySelector(".says").textContent = text; }

	// What a tick is taken for until the server has judged it.
	function guess(t) {
		if (!t.read) return t.found;
		if (t.found === "damaged") return "damaged";
		const door = doorOf(t.at), c = code(t.read);
		if (!door || !c) return "foreign";
		if (door.dataset.code && code(door.dataset.code) === c) return "right";
		return doorWith(c) ? "other" : ""; // the server knows older ones
	}
	function draw() {
		const all = ticks(), refused = all.filter(function (t) { return t.why; });
		for (const t of all) {
			const door = doorOf(t.at);
			if (!door) continue;
			badge(door, guess(t), true);
			door.dataset.ticked = "";
			says(door, t.why ? "Not noted: " + t.why : "");
			if (t.why) {
				const discard = document.createElement("button");
				discard.type = "button";
				discard.textContent = "Discard it";
				discard.addEventListener("click", function () { forget(t.tick); unseen(door); draw(); });
				door.querySelector(".says").append(" ", discard);
			}
		}
		for (const area of document.querySelectorAll(".area")) count(area);
		const n = all.length - refused.length;
		waits.textContent = (n > 0 ? n + " not sent" : "") + (refused.length > 0 ? (n > 0 ? ", " : "") + refused.length + " not accepted" : "");
		sendNow.hidden = n === 0;
	}
	// How far an area is: what the page came with, and what was noted on it since.
	function count(area) {
		const more = area.querySelectorAll(".door[data-ticked]:not([data-seen]):not([data-code=''])").length;
		const labels = Number(area.dataset.labels), seen = Math.min(labels, Number(area.dataset.seen) + more);
		area.querySelector(".count").textContent = seen + " of " + labels;
		area.querySelector("progress").value = seen;
		for (const other of document.querySelectorAll(".areas .count")) {
			if ("area-" + other.dataset.area === area.id) other.textContent = seen + " of " + labels;
		}
	}

	function note(door, text, found) {
		const t = { tick: name(), at: door.dataset.id, read: text, found: found, day: day(), by: by ? by.value.trim() : me || "", at_ms: Date.now() };
		keep(t);
		draw();
		door.scrollIntoView({ block: "nearest" });
		pause = first;
		send();
	}

	// ask whether what somebody else noted on this device may be sent in the name of who is signed in.
	function ask(others) {
		const names = Array.from(new Set(others.map(function (t) { return t.by || "somebody who was not signed in"; }))).join(", ");
		const yes = document.createElement("button");
		yes.type = "button";
		yes.textContent = "Send as " + me;
		yes.addEventListener("click", function () {
			for (const t of others) { t.by = me; keep(t); }
			problem("");
			send();
		});
		problem("Not sent: " + others.length + " noted by " + names + ". Sent as soon as they sign in here. If it was you:", yes);
	}

	// send sends what waits, some at a time. sendSome says what is next: "more" at once, "later", or "" where
	// nothing waits, or waits for a person.
	async function send() {
		clearTimeout(timer);
		if (busy) return;
		busy = true;
		let next = "later";
		try {
			next = await sendSome();
		} finally {
			busy = false;
		}
		draw();
		if (next === "more") {
			send();
		} else if (next === "later") {
			timer = setTimeout(send, pause);
			pause = Math.min(2 * pause, longest);
		}
	}
	async function sendSome() {
		let all = ticks().filter(function (t) { return !t.why; });
		if (all.length === 0) return "";
		if (people) {
			await who();
			if (me === "") {
				problem("You are not signed in. " + where(), signIn());
				return "";
			}
			const others = me === null ? [] : all.filter(function (t) { return t.by !== me; });
			if (others.length > 0) ask(others);
			all = all.filter(function (t) { return !others.includes(t); });
			if (all.length === 0) return "";
		}
		if (by && all.some(function (t) { return !t.by; })) {
			if (!by.value.trim()) {
				problem("Enter your name: what you noted is sent with it. " + where());
				return "";
			}
			for (const t of all) if (!t.by) { t.by = by.value.trim(); keep(t); }
		}
		if (passphrase && !passphrase.value) {
			problem("Enter the passphrase of this server. " + where());
			return "";
		}
		const some = all.filter(function (t) { return t.by === all[0].by; }).slice(0, most);
		let answer, said;
		try {
			answer = await fetch("ticks", {
				method: "POST", headers: { "Content-Type": "application/json", Accept: "application/json" }, credentials: "same-origin",
				body: JSON.stringify({ by: some[0].by, passphrase: passphrase ? passphrase.value : "",
					ticks: some.map(function (t) { return { tick: t.tick, at: t.at, read: t.read, found: t.found, day: t.day }; }) }),
			});
			said = await answer.json();
		} catch (e) {
			problem("No reception. " + where() + " Do not load this page again until it is sent.");
			return "later";
		}
		if (said.ticks) {
			if (some.length === ticks().filter(function (t) { return !t.why; }).length) problem("");
			for (const one of said.ticks) noted(some.find(function (t) { return t.tick === one.tick; }), one);
			pause = first;
			return all.length > some.length ? "more" : "";
		}
		problem(said.error + " " + where(), answer.status === 401 ? signIn() : null);
		return [401, 403, 409].includes(answer.status) ? "" : "later";
	}
	// noted draws what the server said about a tick.
	function noted(t, one) {
		if (!t) return;
		const door = doorOf(t.at);
		if (one.status !== 200) {
			t.why = one.says;
			keep(t);
			return;
		}
		forget(t.tick);
		document.getElementById("round-says").textContent = "";
		if (!door) return;
		badge(door, one.found, false);
		const what = one.found === "right" ? "" : one.says.slice(one.says.indexOf(": ") + 2);
		says(door, what && one.do ? what + "; " + one.do : what || one.do || "");
		if (one.label && /^(replace it with|mount) label/.test(one.do || "")) { // one that does not hold is covered
			const to = document.createElement("a");
			to.href = "../reprint/?code=/V/" + one.label;
			to.textContent = "Print this label again";
			door.querySelector(".says").append(" ", to);
		}
	}

	function open(which, title, text) {
		for (const ways of dialog.querySelectorAll(".ways")) ways.hidden = ways.dataset.for !== which;
		document.getElementById("here-title").textContent = title;
		document.getElementById("here-says").textContent = text;
		if (!dialog.open) dialog.showModal();
	}
	function way(value) { return dialog.querySelector(".ways:not([hidden]) button[value='" + value + "']"); }
	function aim(door) {
		target = door;
		const line = bar.querySelector(".target");
		line.hidden = !door;
		line.querySelector("strong").textContent = door ? door.dataset.id : "";
	}

	// judge takes what was read: at the equipment that was chosen, or where the label should be.
	function judge(text) {
		read = text;
		const door = doorWith(code(text));
		if (target) {
			const here = target;
			aim(null);
			if (door === here) {
				note(here, text, "");
				return;
			}
			chosen = here;
			open("differs", here.dataset.id, door ? "This is the label of " + door.dataset.id + ", " + equipment(door) + ", not of " + here.dataset.id + "."
				: shown(text) + " is not the present label of " + here.dataset.id + ". " + check);
			way("note").textContent = "Note it: it is on " + here.dataset.id;
			return;
		}
		chosen = door || null;
		open("read", door ? door.dataset.id : "Which equipment?", door ? "This is the label of " + door.dataset.id + ", " + equipment(door) + ". Is it on that equipment?"
			: shown(text) + " is not the present label of any equipment on this page. " + check + " On which equipment is it?");
		way("yes").hidden = !door;
		if (door) way("yes").textContent = "Yes, it is on " + door.dataset.id;
		document.getElementById("here-at").value = "";
	}

	const select = document.getElementById("here-at");
	select.append(new Option("Choose it", ""));
	for (const door of doors) select.append(new Option(door.dataset.id + ", " + equipment(door), door.dataset.id));

	for (const link of document.querySelectorAll(".door .note")) {
		link.addEventListener("click", function (e) {
			e.preventDefault();
			chosen = link.closest(".door");
			open("door", chosen.dataset.id, equipment(chosen));
			way("right").hidden = way("damaged").hidden = !chosen.dataset.code;
		});
	}
	dialog.addEventListener("click", function (e) {
		const button = e.target.closest("button");
		if (!button) return;
		switch (button.value) {
		case "cancel":
			aim(null);
			dialog.close();
			return;
		case "scan":
			dialog.close();
			aim(chosen);
			(bar.querySelector(".camera:not([hidden])") || bar.querySelector(".photo")).click();
			return;
		case "type":
			aim(chosen);
			type();
			return;
		case "yes":
		case "note":
			dialog.close();
			note(chosen, read, "");
			return;
		case "at":
			if (!select.value) {
				document.getElementById("here-says").textContent = "Choose the equipment first.";
				select.focus();
				return;
			}
			dialog.close();
			note(doorOf(select.value), read, "");
			return;
		case "typed": {
			const text = document.getElementById("here-code").value;
			if (!code(text)) {
				document.getElementById("here-says").textContent = "This is not a code: codes look like XXXX-XXXX-XXXX-XXXX.";
				return;
			}
			judge(text);
			if (!dialog.querySelector(".ways:not([hidden])[data-for=typed]")) return;
			dialog.close(); // it was noted
			return;
		}
		case "right": // the one that was printed last when this page was made
			dialog.close();
			note(chosen, chosen.dataset.code, "");
			return;
		default:
			dialog.close();
			note(chosen, "", button.value);
		}
	});
	dialog.addEventListener("cancel", function () { aim(null); });
	box.addEventListener("read", function (e) { e.preventDefault(); judge(e.detail); });
	bar.querySelector(".other").addEventListener("click", function () { aim(null); });
	function type() {
		document.getElementById("here-code").value = "";
		open("typed", target ? target.dataset.id : "Type a code", "Four groups of four letters and digits, near the QR code.");
	}
	bar.querySelector(".typed").addEventListener("click", type);
	sendNow.addEventListener("click", function () { pause = first; send(); });

	const remembered = prefix + "by";
	if (by) {
		try { by.value = localStorage.getItem(remembered.replace(" tick ", " name ")) || ""; } catch (e) { /* it is typed again */ }
		by.addEventListener("change", function () {
			try { localStorage.setItem(remembered.replace(" tick ", " name "), by.value.trim()); } catch (e) { /* it is typed again */ }
			send();
		});
	}
	if (passphrase) passphrase.addEventListener("change", function () { send(); });
	window.addEventListener("online", function () { pause = first; send(); });
	document.addEventListener("visibilitychange", function () { if (!document.hidden) send(); });
	window.addEventListener("storage", draw); // of another tab
	top.hidden = bar.hidden = false;
	draw();
	who().then(send);
})();
