"""Makes a PDF from a list of pages (list.go says how it is written), with reportlab:

    reportlab.py LIST FONTS OUT
"""

import os
import sys

# The folder of this file is first in the path, and has the name of the library.
sys.path.pop(0)

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel
from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

inks = {}


def ink(text):
    if text not in inks:
        inks[text] = HexColor("#" + text)
    return inks[text]


def prepare(c, fill, outline, width):
    """Sets the inks of a shape, and says which of them are used."""
    if fill != "-":
        c.setFillColor(ink(fill))
    if outline != "-":
        c.setStrokeColor(ink(outline))
        c.setLineWidth(float(width))
    return {"stroke": int(outline != "-"), "fill": int(fill != "-")}


def curves(c, h, text):
    path = c.beginPath()
    words = text.split(" ")
    i = 0
    while i < len(words):
        letter = words[i]
        n = {"M": 2, "L": 2, "C": 6, "Z": 0}[letter]
        v = [float(x) for x in words[i + 1 : i + 1 + n]]
        v[1::2] = [h - y for y in v[1::2]]
        {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.close}[letter](*v)
        i += 1 + n
    return path


def code(c, x, y, width, text):
    """Draws a QR code, with one rectangle for each run of dark modules in a row."""
    q = QRCode(None, QRErrorCorrectLevel.M)
    q.addData(text)
    q.make()
    n = q.getModuleCount()
    s = width / (n + 8)
    path = c.beginPath()
    for row, modules in enumerate(q.modules):
        start = 0
        while start < n:
            end = start
            while end < n and modules[end]:
                end += 1
            if end > start:
                path.rect(x + s * (4 + start), y - s * (5 + row), s * (end - start), s)
            start = end + 1
    c.setFillColor(ink("000000"))
    c.drawPath(path, stroke=0, fill=1)


def main(source, fonts, out):
    for name in "Regular", "Medium", "Bold":
        file = os.path.join(fonts, f"RobotoCondensed-{name}.ttf")
        pdfmetrics.registerFont(TTFont(name.lower(), file))
    c = Canvas(out, pageCompression=1)
    h = None
    for line in open(source, encoding="utf-8"):
        kind, *f = line.rstrip("\n").split("\t")
        if kind == "page":
            if h is not None:
                c.showPage()
            h = float(f[1])
            c.setPageSize((float(f[0]), h))
        elif kind == "text":
            c.setFont(f[3], float(f[2]))
            c.setFillColor(ink(f[4]))
            c.drawString(float(f[0]), h - float(f[1]), f[5])
        elif kind == "line":
            prepare(c, "-", f[4], f[5])
            c.line(float(f[0]), h - float(f[1]), float(f[2]), h - float(f[3]))
        elif kind == "rect":
            x, y, w, high = map(float, f[:4])
            c.rect(x, h - y - high, w, high, **prepare(c, *f[4:7]))
        elif kind == "path":
            c.drawPath(curves(c, h, f[3]), **prepare(c, *f[:3]))
        elif kind == "qr":
            code(c, float(f[0]), h - float(f[1]), float(f[2]), f[3])
        else:
            sys.exit(f"an unknown line in the list: {line}")
    c.showPage()
    c.save()


main(*sys.argv[1:])
