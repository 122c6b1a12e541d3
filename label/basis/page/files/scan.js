// Reads the QR code of a label by the camera, or in a photo, and searches for what it says, or tells the
// page. Where the browser has no reader, one is loaded when it is first needed. Nothing leaves the device.
(function () {
	"use strict";
	const form = document.querySelector(".find"), box = document.querySelector(".scan");
	if (!box) return;
	const root = new URL("./", document.currentScript.src);
	const camera = box.querySelector(".camera"), photo = box.querySelector(".photo"), file = box.querySelector("input"), stop = box.querySelector(".stop");
	const finder = box.querySelector(".finder"), video = box.querySelector("video"), said = box.querySelector("[role=status]");
	const tries = [4000, 1600, 800]; // longest sides, in pixels: a size at which one photo fails reads another
	const live = 640, pause = 150; // of the camera's pictures, in pixels and milliseconds
	let stream = null;

	function say(name) { said.textContent = name ? said.dataset[name] : ""; }

	// The pixels of a picture, no longer than a number of them.
	function pixels(from, width, height, longest) {
		const scale = Math.min(1, longest / Math.max(width, height)), canvas = document.createElement("canvas");
		canvas.width = Math.round(width * scale);
		canvas.height = Math.round(height * scale);
		const on = canvas.getContext("2d", { willReadFrequently: true });
		on.fillStyle = "#fff"; // under a picture that is clear in places
		on.fillRect(0, 0, canvas.width, canvas.height);
		on.drawImage(from, 0, 0, canvas.width, canvas.height);
		return on.getImageData(0, 0, canvas.width, canvas.height);
	}

	// The text of the QR code in a picture, "" for none. A reader that fails, even only when it is used, is
	// followed by the next one. take gives the picture, again for each.
	const makers = [own, inWorker, here];
	let made = null;
	async function read(take) {
		for (;;) {
			const mine = made = made || makers[0]();
			try {
				return await (await mine)(take());
			} catch (e) {
				if (made !== mine) continue; // failed for another picture too
				if (makers.length === 1) throw e;
				makers.shift();
				made = null;
			}
		}
	}
	async function own() {
		if (!("BarcodeDetector" in window) || !(await BarcodeDetector.getSupportedFormats()).includes("qr_code")) throw new Error("none");
		const detector = new BarcodeDetector({ formats: ["qr_code"] });
		return async function (picture) {
			const found = await detector.detect(picture);
			return found.length > 0 ? found[0].rawValue : "";
		};
	}
	function inWorker() {
		return new Promise(function (resolve, reject) {
			const worker = new Worker(new URL("scan/decode.js", root)), waiting = [];
			worker.addEventListener("error", function (e) {
				reject(e);
				for (const one of waiting.splice(0)) one.failed(e);
			});
			worker.addEventListener("message", function (e) { waiting.shift().done(e.data); });
			const read = function (picture) {
				return new Promise(function (done, failed) {
					waiting.push({ done: done, failed: failed });
					worker.postMessage({ pixels: picture.data.buffer, width: picture.width, height: picture.height }, [picture.data.buffer]);
				});
			};
			read(new ImageData(1, 1)).then(function () { resolve(read); }, reject); // it works
		});
	}
	function here() { // pages that are files have no workers
		return new Promise(function (resolve, reject) {
			const script = document.createElement("script");
			script.src = new URL("scan/jsqr.js", root);
			script.addEventListener("error", reject);
			script.addEventListener("load", function () {
				resolve(async function (picture) {
					const found = window.jsQR(picture.data, picture.width, picture.height, { inversionAttempts: "dontInvert" });
					return found ? found.data : "";
				});
			});
			document.head.append(script);
		});
	}

	function tell(text) {
		if (!box.dispatchEvent(new CustomEvent("read", { detail: text, cancelable: true })) || !form) return;
		document.getElementById("q").value = text;
		form.requestSubmit();
	}

	function end() {
		if (stream) for (const track of stream.getTracks()) track.stop();
		stream = null;
		finder.hidden = true;
		camera.disabled = false;
	}
	async function look() {
		camera.disabled = true;
		say("wait");
		try {
			stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: 1280 } }, audio: false });
			video.srcObject = stream;
			await video.play();
		} catch (e) {
			end();
			say("refused");
			return;
		}
		finder.hidden = false;
		say("aim");
		const mine = stream;
		while (stream === mine && mine) {
			if (video.videoWidth > 0) {
				let text;
				try {
					text = await read(function () { return pixels(video, video.videoWidth, video.videoHeight, live); });
				} catch (e) {
					if (stream !== mine) return;
					end();
					say("refused");
					return;
				}
				if (stream !== mine) return;
				if (text) {
					end();
					say("");
					tell(text);
					return;
				}
			}
			await new Promise(function (done) { setTimeout(done, pause); });
		}
	}
	async function readPhoto() {
		const chosen = file.files[0];
		if (!chosen) return;
		say("wait");
		try {
			const picture = await createImageBitmap(chosen);
			for (const longest of tries) {
				const text = await read(function () { return pixels(picture, picture.width, picture.height, longest); });
				if (text) {
					say("");
					tell(text);
					return;
				}
			}
			say("nothing");
		} catch (e) {
			say("broken");
		} finally {
			file.value = ""; // the same photo may be chosen again
		}
	}

	if (navigator.mediaDevices && navigator.mediaDevices.getUserMedia) { // only over HTTPS, or on this machine
		camera.hidden = false;
		camera.addEventListener("click", look);
	}
	stop.addEventListener("click", function () { end(); say(""); camera.focus(); });
	photo.addEventListener("click", function () { file.click(); });
	file.addEventListener("change", readPhoto);
	window.addEventListener("pagehide", end);
	box.hidden = false;
})();
