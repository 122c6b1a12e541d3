package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

// mostApart is how much two pictures of the same page may differ, as a share of black on
// the whole page: the signal color is another mixture, edges are drawn differently, and
// not every program kerns. A page without its bars or its black block differs by more.
const mostApart = 0.08

// alike compares the pictures in a folder with those of the same names in another.
func alike(a, b string) error {
	files, err := filepath.Glob(filepath.Join(a, "*.pgm"))
	if err != nil || len(files) == 0 {
		return fmt.Errorf("no pictures in %s", a)
	}
	for _, file := range files {
		x, err := gray(file)
		if err != nil {
			return err
		}
		y, err := gray(filepath.Join(b, filepath.Base(file)))
		if err != nil {
			return err
		}
		if len(x) != len(y) {
			return fmt.Errorf("%s: pages of different sizes", filepath.Base(file))
		}
		sum := 0
		for i := range x {
			sum += max(int(x[i])-int(y[i]), int(y[i])-int(x[i]))
		}
		if apart := float64(sum) / 255 / float64(len(x)); apart > mostApart {
			return fmt.Errorf("%s: %.3f of the page differs", filepath.Base(file), apart)
		}
	}
	return nil
}

// gray is the pixels of a picture in shades of gray (PGM), a byte each.
func gray(file string) ([]byte, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var w, h, most int
	if n, err := fmt.Fscanf(bytes.NewReader(data), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil || n != 3 || most != 255 || w*h > len(data) {
		return nil, fmt.Errorf("%s: not a picture in shades of gray", file)
	}
	return data[len(data)-w*h:], nil
}
