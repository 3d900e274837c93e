// Command pack puts the page together: it gathers the files a browser needs,
// writes those that changed into one folder, sets a brotli and a gzip sibling
// beside each that is worth compressing, and removes what no longer belongs.
// It ends with a table of what a visit costs to transfer.
//
//	go run ./web/pack -quality 11 -cache cache/packed -to dist web cache/stage
//
// Later sources win over earlier ones. Only files of a kind that package site
// knows are taken; folders that hold Go code or are named testdata are passed
// over, so that the sources of the server and the tests can live beside the
// page.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	to := flag.String("to", "dist", "folder to write the page into")
	quality := flag.Int("quality", 11, "brotli quality, 0 (quick) to 11 (small)")
	cache := flag.String("cache", "cache/packed", "folder that keeps compressed files between runs")
	keep := flag.String("keep", "shots", "entry of the -to folder to leave alone")
	budget := flag.Float64("budget", 2.6, "transfer budget in MB (10⁶ bytes), brotli, shown beside the total")
	flag.Parse()
	if err := run(flag.Args(), *to, *keep, *cache, *quality, *budget); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func run(sources []string, to, keep, cache string, quality int, budget float64) error {
	files, err := gather(sources)
	if err != nil {
		return err
	}
	c, err := openCache(cache, quality)
	if err != nil {
		return err
	}
	page, err := write(files, to, c)
	if err != nil {
		return err
	}
	if err := sweep(to, keep, page); err != nil {
		return err
	}
	if err := c.prune(); err != nil {
		return err
	}
	return printSizes(os.Stdout, page, quality, budget)
}
