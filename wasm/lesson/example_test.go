package lesson_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"time"

	"crownbench/morph"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// A lesson of one invented tooth goes out, two students measure its width with
// callipers, and their answers are reviewed.
func Example() {
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 80, 60))); err != nil {
		fmt.Println(err)
		return
	}
	tooth := &tray.Specimen{
		ID: "kept", Name: "KB-014", Invented: true,
		Typed:  map[morph.ID]morph.Typed{morph.CBW: {Value: 9.6}},
		Photos: []tray.Photo{{View: morph.View{ID: "basal", Role: morph.BasalView}, File: "KB-014.png", Width: 80, Height: 60}},
	}
	made, err := lesson.Make(lesson.Plan{
		Title: "How wide is it?", Readings: []morph.ID{morph.CBW}, Repeats: 1,
		Hidden: lesson.Hidden{Identity: true}, Teeth: []lesson.Planned{{Specimen: tooth}},
	}, func(*tray.Photo) ([]byte, error) { return picture.Bytes(), nil })
	if err != nil {
		fmt.Println(err)
		return
	}

	var answers []lesson.File
	for student, width := range map[string]float64{"Anna": 9.7, "Boris": 9.9} {
		opened, err := lesson.Open(made.Lesson)
		if err != nil {
			fmt.Println(err)
			return
		}
		work, err := lesson.Start(opened, student)
		if err != nil {
			fmt.Println(err)
			return
		}
		s := work.Specimen(0)
		s.Typed = map[morph.ID]morph.Typed{morph.CBW: {Value: width}}
		if err := work.Keep(0, s); err != nil {
			fmt.Println(err)
			return
		}
		answer, err := work.Answer(time.Now())
		if err != nil {
			fmt.Println(err)
			return
		}
		answers = append(answers, lesson.File{Name: work.AnswerFile(), Data: answer})
	}

	key, err := lesson.ReadKey(made.Key)
	if err != nil {
		fmt.Println(err)
		return
	}
	class := lesson.Review(key, answers)
	width := class.Readings[0]
	fmt.Printf("%d students, mean %.1f mm, %.1f mm above the key\n", len(class.Students), width.Teeth[0].Mean, width.Bias.Mean)
	fmt.Println(width.CorrelationWhy)
	// Output:
	// 2 students, mean 9.8 mm, 0.2 mm above the key
	// The intraclass correlation needs at least two teeth.
}
