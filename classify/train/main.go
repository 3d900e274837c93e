// Command train learns the distances that package classify compares crowns by,
// tests them, and writes the model file and a report of the test. It is run
// from the root of the module and takes some minutes on two cores; the same
// teeth give the same files.
//
//	go run ./classify/train
package main

import (
	"flag"
	"fmt"
	"os"
	"time"

	"crownbench/classify"
	"crownbench/classify/internal/model"
)

func main() {
	modelPath := flag.String("model", "classify/model.json", "where to write the model")
	reportPath := flag.String("report", "classify/VALIDATION.md", "where to write the report; empty for the model alone")
	flag.Parse()
	if err := run(*modelPath, *reportPath); err != nil {
		fmt.Fprintln(os.Stderr, "train:", err)
		os.Exit(1)
	}
}

func run(modelPath, reportPath string) error {
	began := time.Now()
	tell := func(what string) {
		fmt.Fprintf(os.Stderr, "%4.0f s  %s\n", time.Since(began).Seconds(), what)
	}
	all := crowns()
	f := &model.File{TeethHash: classify.Published().Hash(), Reach: reach(all)}
	asked := questions(all)
	for _, q := range asked {
		f.Tasks = append(f.Tasks, produce(q))
		tell(q.name + " learned")
	}
	if err := write(modelPath, f); err != nil {
		return err
	}
	if reportPath == "" {
		return nil
	}
	var trials []trial
	for _, q := range asked {
		trials = append(trials, test(q, reported()))
		tell(q.name + " tested")
	}
	text := compose(f, trials, all, tell)
	if err := os.WriteFile(reportPath, []byte(text), 0o644); err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return nil
}
