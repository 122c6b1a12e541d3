/* Makes a PDF from a list of pages (list.go says how it is written), with cairo and libqrencode:
 *
 *   cairo LIST FONTS OUT
 */
#include <cairo-ft.h>
#include <cairo-pdf.h>
#include <qrencode.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_FIELDS = 8 };

static void stop(const char *what) {
  fprintf(stderr, "cairo: %s\n", what);
  exit(1);
}

/* split cuts a line at its tabs. */
static int split(char *line, char *field[MOST_FIELDS]) {
  int n = 0;
  line[strcspn(line, "\n")] = 0;
  for (char *next = line; next && n < MOST_FIELDS;) field[n++] = strsep(&next, "\t");
  return n;
}

static void ink(cairo_t *c, const char *hex) {
  unsigned v = strtoul(hex, NULL, 16);
  cairo_set_source_rgb(c, (v >> 16 & 255) / 255.0, (v >> 8 & 255) / 255.0, (v & 255) / 255.0);
}

/* paint fills and outlines the current path. */
static void paint(cairo_t *c, const char *fill, const char *outline, const char *width) {
  if (*fill != '-') {
    ink(c, fill);
    cairo_fill_preserve(c);
  }
  if (*outline != '-') {
    ink(c, outline);
    cairo_set_line_width(c, atof(width));
    cairo_stroke_preserve(c);
  }
  cairo_new_path(c);
}

static void curves(cairo_t *c, char *text) {
  for (char *at = text; *at;) {
    double v[6];
    char letter = *at++;
    int n = letter == 'C' ? 6 : letter == 'Z' ? 0 : 2;
    for (int i = 0; i < n; i++) v[i] = strtod(at, &at);
    if (letter == 'M') cairo_move_to(c, v[0], v[1]);
    if (letter == 'L') cairo_line_to(c, v[0], v[1]);
    if (letter == 'C') cairo_curve_to(c, v[0], v[1], v[2], v[3], v[4], v[5]);
    if (letter == 'Z') cairo_close_path(c);
    while (*at == ' ') at++;
  }
}

/* code draws a QR code, with one rectangle for each run of dark modules in a row. */
static void code(cairo_t *c, double x, double y, double width, const char *text) {
  QRcode *q = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
  if (!q) stop("a text does not fit into a QR code");
  double s = width / (q->width + 8);
  for (int row = 0; row < q->width; row++) {
    for (int from = 0; from < q->width;) {
      int to = from;
      while (to < q->width && q->data[row * q->width + to] & 1) to++;
      if (to > from) cairo_rectangle(c, x + s * (4 + from), y + s * (4 + row), s * (to - from), s);
      from = to + 1;
    }
  }
  ink(c, "000000");
  cairo_fill(c);
  QRcode_free(q);
}

int main(int argc, char **argv) {
  if (argc != 4) stop("expected LIST FONTS OUT");
  static const char *const weights[] = {"regular", "medium", "bold"};
  static const char *const files[] = {"Regular", "Medium", "Bold"};
  cairo_font_face_t *faces[3];
  FT_Library library;
  if (FT_Init_FreeType(&library)) stop("no FreeType");
  for (int i = 0; i < 3; i++) {
    char name[4096];
    FT_Face face;
    snprintf(name, sizeof name, "%s/RobotoCondensed-%s.ttf", argv[2], files[i]);
    if (FT_New_Face(library, name, 0, &face)) stop(name);
    faces[i] = cairo_ft_font_face_create_for_ft_face(face, 0);
  }
  FILE *in = fopen(argv[1], "r");
  if (!in) stop(argv[1]);

  cairo_surface_t *pdf = NULL;
  cairo_t *c = NULL;
  char *line = NULL, *f[MOST_FIELDS];
  size_t room = 0;
  while (getline(&line, &room, in) > 0) {
    int n = split(line, f);
    if (!strcmp(f[0], "page") && n == 3) {
      double w = atof(f[1]), h = atof(f[2]);
      if (pdf) {
        cairo_show_page(c);
      } else {
        pdf = cairo_pdf_surface_create(argv[3], w, h);
        c = cairo_create(pdf);
        cairo_font_options_t *exact = cairo_font_options_create();
        cairo_font_options_set_hint_metrics(exact, CAIRO_HINT_METRICS_OFF);
        cairo_font_options_set_hint_style(exact, CAIRO_HINT_STYLE_NONE);
        cairo_set_font_options(c, exact);
        cairo_font_options_destroy(exact);
      }
      cairo_pdf_surface_set_size(pdf, w, h);
    } else if (!c) {
      stop("the list does not begin with a page");
    } else if (!strcmp(f[0], "text") && n == 7) {
      for (int i = 0; i < 3; i++)
        if (!strcmp(f[4], weights[i])) cairo_set_font_face(c, faces[i]);
      cairo_set_font_size(c, atof(f[3]));
      ink(c, f[5]);
      cairo_move_to(c, atof(f[1]), atof(f[2]));
      cairo_show_text(c, f[6]);
      cairo_new_path(c);
    } else if (!strcmp(f[0], "line") && n == 7) {
      cairo_move_to(c, atof(f[1]), atof(f[2]));
      cairo_line_to(c, atof(f[3]), atof(f[4]));
      paint(c, "-", f[5], f[6]);
    } else if (!strcmp(f[0], "rect") && n == 8) {
      cairo_rectangle(c, atof(f[1]), atof(f[2]), atof(f[3]), atof(f[4]));
      paint(c, f[5], f[6], f[7]);
    } else if (!strcmp(f[0], "path") && n == 5) {
      curves(c, f[4]);
      paint(c, f[1], f[2], f[3]);
    } else if (!strcmp(f[0], "qr") && n == 5) {
      code(c, atof(f[1]), atof(f[2]), atof(f[3]), f[4]);
    } else {
      stop("an unknown line in the list");
    }
  }
  cairo_show_page(c);
  cairo_destroy(c);
  cairo_surface_finish(pdf);
  if (cairo_surface_status(pdf) != CAIRO_STATUS_SUCCESS) stop("the PDF was not written");
  return 0;
}
