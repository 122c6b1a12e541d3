// Reads QR codes in pictures that the page sends, so that the page itself does not stand still
// meanwhile. scan.js uses it where the browser has no reader of its own.
"use strict";
importScripts(new URL("scan/jsqr.js", new URL("../", location.href)).href);
self.addEventListener("message", function (e) {
	const found = jsQR(new Uint8ClampedArray(e.data.pixels), e.data.width, e.data.height, { inversionAttempts: "dontInvert" });
	self.postMessage(found ? found.data : "");
});
