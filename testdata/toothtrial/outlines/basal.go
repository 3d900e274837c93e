package main

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"crownbench/testdata/toothtrial"
)

// sections prints the table of base sections.
func sections(wide string, n, from int, even, list bool) {
	fmt.Println("Automatic outlines of base sections on photographs with known truth.")
	fmt.Println("good: CBL and CBW within 0.5 % or 1 px; unsure: proposed with confidence below", clear)
	fmt.Printf("\n%-14s %5s %7s %7s %6s %6s | of the sure ones: errors of CBL, CBW and area\n", "", "n", "refused", "unsure", "good", "bad")
	byGround := map[string][]toothtrial.SectionScore{}
	var all []toothtrial.SectionScore
	for _, field := range strings.Split(wide, ",") {
		w, err := strconv.Atoi(field)
		if err != nil {
			fmt.Fprintln(os.Stderr, "outlines: -wide needs numbers:", err)
			os.Exit(2)
		}
		var scores []toothtrial.SectionScore
		for k := range n {
			seed := uint64(2*(from+k) + 1)
			if even {
				seed--
			}
			t := toothtrial.Basal(seed, w)
			p, truth, ok := drawn(t)
			if !ok {
				continue
			}
			s := toothtrial.ProposeSection(p, truth)
			if list {
				fmt.Printf("%4d %-6s good %-5v CBL %+6.1f ± %4.1f of %4.0f CBW %+6.1f ± %4.1f of %4.0f area %+6.2f%% sure %.2f axis %.2f low %.2f %v\n", seed, t.Shot.Background, s.Good(), s.CBL, s.ULength, s.TrueCBL, s.CBW, s.UWidth, s.TrueCBW, 100*s.AreaError, s.Sure, s.Axis, t.Shot.LowContrast, s.Refused)
			}
			scores = append(scores, s)
			byGround[string(t.Shot.Background)] = append(byGround[string(t.Shot.Background)], s)
		}
		all = append(all, scores...)
		sectionRow(fmt.Sprintf("%d px", w), scores)
	}
	for _, g := range toothtrial.Backgrounds {
		sectionRow(string(g), byGround[string(g)])
	}
	sectionRow("all", all)
}

func sectionRow(name string, scores []toothtrial.SectionScore) {
	refused, unsure, good, nonsense, within := 0, 0, 0, 0, 0
	var length, width, area []float64
	for _, s := range scores {
		switch {
		case s.Refused != nil:
			refused++
			continue
		case s.Confidence < clear:
			unsure++
			continue
		case s.Good():
			good++
		case s.Worst() > farOff:
			nonsense++
		}
		for _, e := range [2][2]float64{{s.CBL, s.ULength}, {s.CBW, s.UWidth}} {
			if math.Abs(e[0]) <= e[1] {
				within++
			}
		}
		length = append(length, 100*math.Abs(s.CBL)/s.TrueCBL)
		width = append(width, 100*math.Abs(s.CBW)/s.TrueCBW)
		area = append(area, 100*math.Abs(s.AreaError))
	}
	sure := len(length)
	fmt.Printf("%-14s %5d %7d %7d %6d %6d", name, len(scores), refused, unsure, good, sure-good)
	if sure > 0 {
		fmt.Printf(" | good %3.0f %%, far off %d, CBL %s %%, CBW %s %%, area %s %%, within their ± %.0f %%",
			100*float64(good)/float64(sure), nonsense, spread(length), spread(width), spread(area), 50*float64(within)/float64(sure))
	}
	fmt.Println()
}
