// Makes a PDF from a list of pages (list.go says how it is written), with pdfkit and qrcode:
//
//   node pdfkit.js LIST FONTS OUT

const fs = require("node:fs");
const path = require("node:path");
const PDFDocument = require("pdfkit");
const QRCode = require("qrcode");

const [source, fonts, out] = process.argv.slice(2);
const doc = new PDFDocument({ autoFirstPage: false, margin: 0 });
doc.pipe(fs.createWriteStream(out));
for (const name of ["Regular", "Medium", "Bold"]) {
  doc.registerFont(name.toLowerCase(), path.join(fonts, `RobotoCondensed-${name}.ttf`));
}

// paint fills and outlines the current path.
function paint(fill, outline, width) {
  if (outline !== "-") doc.lineWidth(+width);
  if (fill !== "-" && outline !== "-") doc.fillAndStroke("#" + fill, "#" + outline);
  else if (fill !== "-") doc.fill("#" + fill);
  else doc.stroke("#" + outline);
}

// code draws a QR code, with one rectangle for each run of dark modules in a row.
function code(x, y, width, text) {
  const { size, data } = QRCode.create(text, { errorCorrectionLevel: "M" }).modules;
  const s = width / (size + 8);
  for (let row = 0; row < size; row++) {
    for (let from = 0; from < size; ) {
      let to = from;
      while (to < size && data[row * size + to]) to++;
      if (to > from) doc.rect(x + s * (4 + from), y + s * (4 + row), s * (to - from), s);
      from = to + 1;
    }
  }
  doc.fill("#000000");
}

for (const line of fs.readFileSync(source, "utf8").trimEnd().split("\n")) {
  const [kind, ...f] = line.split("\t");
  switch (kind) {
    case "page":
      doc.addPage({ size: [+f[0], +f[1]], margin: 0 });
      break;
    case "text":
      doc.font(f[3]).fontSize(+f[2]).fillColor("#" + f[4]);
      doc.text(f[5], +f[0], +f[1], { lineBreak: false, baseline: "alphabetic" });
      break;
    case "line":
      doc.moveTo(+f[0], +f[1]).lineTo(+f[2], +f[3]);
      paint("-", f[4], f[5]);
      break;
    case "rect":
      doc.rect(+f[0], +f[1], +f[2], +f[3]);
      paint(f[4], f[5], f[6]);
      break;
    case "path":
      doc.path(f[3]);
      paint(f[0], f[1], f[2]);
      break;
    case "qr":
      code(+f[0], +f[1], +f[2], f[3]);
      break;
    default:
      throw new Error("an unknown line in the list: " + line);
  }
}
doc.end();
