// Command speed has the parts of testdata/speed/run that need Go:
//
//	speed site N DIR          write an invented site of N locations
//	speed pages DIR           write what is on the labels of a site as a list of texts and shapes
//	speed alike DIR DIR       compare pictures of the same pages
//	speed measure COMMAND …   run a command, and write its wall time, processor time and memory
package main

import (
	"fmt"
	"os"
	"strconv"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "speed:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 3 && args[0] == "site":
		n, err := strconv.Atoi(args[1])
		if err != nil {
			return err
		}
		return writeSite("samples/creamery", n, args[2])
	case len(args) == 2 && args[0] == "pages":
		drawn, items, err := drawings(args[1])
		if err != nil {
			return err
		}
		return list(os.Stdout, drawn, items)
	case len(args) == 3 && args[0] == "alike":
		return alike(args[1], args[2])
	case len(args) > 1 && args[0] == "measure":
		return measure(args[1:])
	}
	return fmt.Errorf("expected site, pages, alike or measure, not %q", args)
}
