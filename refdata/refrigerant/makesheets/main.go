// Command makesheets turns a folder of coefficient files (JSON, one a fluid, and
// binary-pairs.json) into the sheets that refdata embeds. It copies figures as
// they are written, digit by digit, and computes nothing.
//
//	go run ./refdata/refrigerant/makesheets -from FOLDER -to refdata/refrigerant
//
// blends.txt, trade.txt and chung.txt are written by hand.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	from := flag.String("from", "", "folder with the coefficient files")
	to := flag.String("to", ".", "folder of the sheets")
	flag.Parse()
	sheets, err := makeSheets(*from)
	if err == nil {
		err = write(*to, sheets)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func write(folder string, sheets map[string]string) error {
	for name, text := range sheets {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			return fmt.Errorf("write sheet: %w", err)
		}
	}
	return nil
}

// makeSheets makes every sheet of a folder, by its name below refdata/refrigerant.
func makeSheets(folder string) (map[string]string, error) {
	files, err := filepath.Glob(filepath.Join(folder, "R*.json"))
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("no coefficient files in %q", folder)
	}
	sheets := map[string]string{}
	for _, file := range files {
		fluid, err := readObject(file)
		if err != nil {
			return nil, err
		}
		sheets["fluids/"+strings.TrimSuffix(filepath.Base(file), ".json")+".txt"] = fluidSheet(fluid)
	}
	pairs, err := readObject(filepath.Join(folder, "binary-pairs.json"))
	if err != nil {
		return nil, err
	}
	sheets["pairs.txt"] = pairSheet(pairs)
	return sheets, nil
}
