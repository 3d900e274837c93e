// Command outlines tries one-click outlines and the landmarks proposed from
// them on a series of trial photographs, and prints tables of their errors.
//
//	go run ./testdata/toothtrial/outlines            a few minutes
//	go run ./testdata/toothtrial/outlines -n 10 -wide 1600
//	go run ./testdata/toothtrial/outlines -basal     base sections instead of crowns
//	go run ./testdata/toothtrial/outlines -even      the seeds that settings are chosen on
package main

import (
	"flag"
	"fmt"
	"math"
	"os"
	"sort"
	"strconv"
	"strings"

	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
	"crownbench/testdata/toothtrial"
)

// clear is the least confidence with which a proposal is taken as it stands.
const clear = 0.5

// farOff is the relative error of a length from which a sure proposal is worse
// than none.
const farOff = 0.03

func main() {
	n := flag.Int("n", 40, "photographs of each size")
	wide := flag.String("wide", "400,800,1600,3000,6000", "longer sides, px; the largest size gets a quarter of the photographs")
	from := flag.Int("from", 0, "how many photographs of the series to pass over")
	even := flag.Bool("even", false, "use the seeds on which settings are chosen")
	basal := flag.Bool("basal", false, "base sections instead of crowns")
	list := flag.Bool("list", false, "list every photograph")
	flag.Parse()

	if *basal {
		sections(*wide, *n, *from, *even, *list)
		return
	}
	fmt.Println("Automatic outlines and landmarks on photographs with known truth.")
	fmt.Println("good: CBL, CH and AL all within 0.5 % or 1 px; unsure: proposed with confidence below", clear)
	fmt.Printf("\n%-14s %5s %7s %7s %6s %6s | of the sure ones: lengths, edge and area errors\n", "", "n", "refused", "unsure", "good", "bad")
	byGround := map[string][]toothtrial.Score{}
	var all []toothtrial.Score
	for _, field := range strings.Split(*wide, ",") {
		w, err := strconv.Atoi(field)
		if err != nil {
			fmt.Fprintln(os.Stderr, "outlines: -wide needs numbers:", err)
			os.Exit(2)
		}
		count := *n
		if w >= 5000 {
			count = max(1, count/4)
		}
		var scores []toothtrial.Score
		for k := range count {
			seed := uint64(2*(*from+k) + 1)
			if *even {
				seed--
			}
			t := toothtrial.Lateral(seed, w)
			p, truth, ok := drawn(t)
			if !ok {
				continue
			}
			s := toothtrial.Propose(p, truth)
			if *list {
				fmt.Println(line(seed, t, s))
			}
			scores = append(scores, s)
			byGround[string(t.Shot.Background)] = append(byGround[string(t.Shot.Background)], s)
		}
		all = append(all, scores...)
		row(fmt.Sprintf("%d px", w), scores)
	}
	for _, g := range toothtrial.Backgrounds {
		row(string(g), byGround[string(g)])
	}
	row("all", all)
}

// line tells of one photograph what was wrong and what was known about it.
func line(seed uint64, t toothtrial.Trial, s toothtrial.Score) string {
	verdict := "good"
	switch {
	case s.Refused != nil:
		verdict = "refused"
	case s.Worst() > farOff:
		verdict = "nonsense"
	case !s.Good():
		verdict = "off"
	}
	if s.Refused == nil && s.Confidence < clear {
		verdict += "?"
	}
	about := fmt.Sprintf("%4d %-6s %-9s", seed, t.Shot.Background, verdict)
	if s.Refused == nil {
		about += fmt.Sprintf(" long %4.0f worst %5.2f%% A %+5.1f %+5.1f ±%4.1f B %+5.1f %+5.1f ±%4.1f G %+5.1f %+5.1f ±%4.1f edge %.2f/%.2f conf %.2f %.2f %.2f saw root %-5v broken %-5v",
			s.Size, 100*s.Worst(), s.A.Along, s.A.Across, s.A.U, s.B.Along, s.B.Across, s.B.U, s.G.Along, s.G.Across, s.G.U, s.EdgeMedian, s.Edge90, s.Outline, s.Base, s.Apex, s.Root, s.Broken)
	}
	return about + fmt.Sprintf(" | root %.2f broken %.2f low %.2f glare %.2f noise %.1f blur %.1f", t.Tooth.Root/t.Tooth.CBL, t.Tooth.BrokenApex, t.Shot.LowContrast, t.Shot.Glare, t.Shot.Noise, t.Shot.Blur)
}

func row(name string, scores []toothtrial.Score) {
	refused, unsure, good, swapped, nonsense := 0, 0, 0, 0, 0
	var within [3]int
	var length, edge, area, angle []float64
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
		for i, o := range [3]toothtrial.Off{s.A, s.B, s.G} {
			if o.By() <= o.U {
				within[i]++
			}
		}
		if s.Swapped {
			swapped++
		}
		length = append(length, 100*s.Worst())
		edge = append(edge, s.Edge90)
		area = append(area, 100*math.Abs(s.AreaError))
		angle = append(angle, math.Abs(s.CMA))
	}
	sure := len(length)
	fmt.Printf("%-14s %5d %7d %7d %6d %6d", name, len(scores), refused, unsure, good, sure-good)
	if sure > 0 {
		fmt.Printf(" | good %3.0f %%, length %s %%, edge %s px, area %s %%, angle %s°, A and B swapped %d, far off %d, within their ± A %d B %d G %d",
			100*float64(good)/float64(sure), spread(length), spread(edge), spread(area), spread(angle), swapped, nonsense, within[0], within[1], within[2])
	}
	fmt.Println()
}

// spread writes the median and the ninetieth percentile.
func spread(v []float64) string {
	sort.Float64s(v)
	return fmt.Sprintf("%.2f/%.2f", v[len(v)/2], v[len(v)*9/10])
}

// drawn gives a trial's picture and truth; false for a scene that cannot be drawn.
func drawn(t toothtrial.Trial) (*vision.Picture, toothphoto.Truth, bool) {
	img, truth, err := t.Draw()
	if err != nil {
		return nil, truth, false
	}
	p, err := vision.PictureOf(img)
	return p, truth, err == nil
}
