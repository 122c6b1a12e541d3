// Makes HTML from a list of pages (list.go says how it is written), with qrcode:
//
//   node html.js LIST FONTS OUT

const fs = require("node:fs");
const path = require("node:path");
const { pathToFileURL } = require("node:url");
const QRCode = require("qrcode");

const [source, fonts, out] = process.argv.slice(2);
const parts = [];

function escaped(text) {
  return text.replace(/[&<]/g, (c) => (c === "&" ? "&amp;" : "&lt;"));
}

function inks(fill, outline, width) {
  const stroke = outline === "-" ? "" : ` stroke="#${outline}" stroke-width="${width}"`;
  return `fill="${fill === "-" ? "none" : "#" + fill}"${stroke}`;
}

// code is a QR code as a path, with one rectangle for each run of dark modules in a row.
function code(x, y, width, text) {
  const { size, data } = QRCode.create(text, { errorCorrectionLevel: "M" }).modules;
  const s = width / (size + 8);
  let d = "";
  for (let row = 0; row < size; row++) {
    for (let from = 0; from < size; ) {
      let to = from;
      while (to < size && data[row * size + to]) to++;
      if (to > from) d += `M${from} ${row}h${to - from}v1h${from - to}z`;
      from = to + 1;
    }
  }
  return `<path transform="translate(${x + 4 * s} ${y + 4 * s}) scale(${s})" d="${d}"/>\n`;
}

let size = "";
for (const line of fs.readFileSync(source, "utf8").trimEnd().split("\n")) {
  const [kind, ...f] = line.split("\t");
  switch (kind) {
    case "page":
      if (size) parts.push("</svg>\n");
      size = `${f[0]}pt ${f[1]}pt`;
      parts.push(`<svg width="${f[0]}pt" height="${f[1]}pt" viewBox="0 0 ${f[0]} ${f[1]}">\n`);
      break;
    case "text":
      parts.push(`<text x="${f[0]}" y="${f[1]}" font-size="${f[2]}" class="${f[3]}" fill="#${f[4]}">${escaped(f[5])}</text>\n`);
      break;
    case "line":
      parts.push(`<line x1="${f[0]}" y1="${f[1]}" x2="${f[2]}" y2="${f[3]}" ${inks("-", f[4], f[5])}/>\n`);
      break;
    case "rect":
      parts.push(`<rect x="${f[0]}" y="${f[1]}" width="${f[2]}" height="${f[3]}" ${inks(f[4], f[5], f[6])}/>\n`);
      break;
    case "path":
      parts.push(`<path d="${f[3]}" ${inks(f[0], f[1], f[2])}/>\n`);
      break;
    case "qr":
      parts.push(code(+f[0], +f[1], +f[2], f[3]));
      break;
    default:
      throw new Error("an unknown line in the list: " + line);
  }
}

const faces = ["Regular", "Medium", "Bold"].map((name) => {
  const url = pathToFileURL(path.resolve(fonts, `RobotoCondensed-${name}.ttf`));
  return `@font-face { font-family: ${name}; src: url("${url}") }\n.${name.toLowerCase()} { font-family: ${name} }\n`;
});
fs.writeFileSync(out, `<!DOCTYPE html>
<meta charset="utf-8">
<title>Pages</title>
<style>
@page { size: ${size}; margin: 0 }
body { margin: 0 }
svg { display: block; break-after: page; overflow: hidden }
text { white-space: pre }
${faces.join("")}</style>
${parts.join("")}</svg>
`);
