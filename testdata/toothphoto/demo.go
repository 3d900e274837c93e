package toothphoto

import "time"

// DemoTooth is one specimen of the demo tray with its photographs.
type DemoTooth struct {
	Note   string // one sentence on the invented find
	Tooth  Tooth  // Tooth.Name is the specimen's name
	Photos []DemoPhoto
}

// DemoPhoto is one photograph of the demo tray.
type DemoPhoto struct {
	File string
	Shot Shot
	JPEG JPEG
}

// DemoTray returns the seven invented teeth of the demo, with their shots.
//
// Their sizes and ratios lie within the ranges of published teeth of their
// shape (group means of the crown table of Hendrickx et al. 2024; the ranges
// were computed from its rows), so that sorting them is a fair exercise: a
// thick spike, a flat blade, a small hooked blade with unlike carinae, a cone
// without denticles, a thick front tooth of a blade-toothed animal, a blade
// whose apex is lost and a small tooth whose mesial denticles are worn away.
// Everything about them is invented.
func DemoTray() []DemoTooth {
	tray := []DemoTooth{
		{
			Note: "Large thick crown with part of the root, from the lower bench of the invented Kelpbarrow quarry.",
			Tooth: Tooth{
				Name: "KB-014", CBL: 36, CBW: 25.6, CH: 76, AL: 83.2, MCW: 19.2,
				MesialBow: 0.085, DistalBow: -0.008, MesialSkew: 0.15, TipRadius: 1.6, Cervix: 0.05,
				Section: Section{Exponent: 2.15}, Root: 34, Palette: 4,
				Mesial: Row{Apical: 8.4, Mid: 7.8, Basal: 9.6, From: 0.22, To: 0.98},
				Distal: Row{Apical: 8.2, Mid: 7.9, Basal: 9.1, From: 0.02, To: 0.98},
			},
			Photos: []DemoPhoto{
				{File: "KB-014-labial.jpg", Shot: Shot{
					View: LateralLabial, Width: 1600, Height: 1200, PxPerMM: 9.2, X: 0.45, Y: 0.44, Rotation: -62,
					Background: Card, LightFrom: 318, Blur: 0.7, Noise: 1.1, Cracks: 6,
					Bar:   ScaleBar{Length: 100, X: 0.52, Y: 0.875},
					Label: Label{Text: "KB-014", X: 0.86, Y: 0.12, Rotation: 5},
				}},
				{File: "KB-014-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 13, Rotation: 12,
					Background: Grey, LightFrom: 320, Blur: 0.7, Noise: 1.1, Cracks: 5,
					Bar: ScaleBar{Length: 20, Y: 0.88, X: 0.5},
				}},
				{File: "KB-014-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 62, CarinaAt: 0.5, Rotation: -72,
					Background: Grey, LightFrom: 330, Blur: 0.8, Noise: 1.1, Cracks: 2,
					Bar: ScaleBar{Style: Line, Length: 5, X: 0.8, Y: 0.12},
				}},
			},
		},
		{
			Note: "Large flat crown with a straight distal edge, found loose on the spoil of the invented Kelpbarrow quarry.",
			Tooth: Tooth{
				Name: "KB-015", CBL: 38, CBW: 17.1, CH: 78, AL: 86.8, MCW: 13.1,
				MesialBow: 0.095, DistalBow: 0, MesialSkew: 0.2, TipRadius: 0.8, Cervix: 0.035,
				Section: Section{Shape: Lens}, Root: 16, Palette: 0,
				Mesial: Row{Apical: 10.2, Mid: 10.6, Basal: 12.4, From: 0.3, To: 0.98},
				Distal: Row{Apical: 10.8, Mid: 11.2, Basal: 12.6},
			},
			Photos: []DemoPhoto{
				{File: "KB-015-lingual.jpg", Shot: Shot{
					View: LateralLingual, Width: 1600, Height: 1200, PxPerMM: 9.4, X: 0.36, Y: 0.5, Rotation: 8,
					Background: Sand, LightFrom: 312, Blur: 0.9, Noise: 0.8, Cracks: 5,
					Bar:   ScaleBar{Length: 50, X: 0.76, Y: 0.82, Rotation: -4},
					Label: Label{Text: "KB-015", X: 0.78, Y: 0.14, Rotation: -7},
				}, JPEG: JPEG{Quality: 68}},
				{File: "KB-015-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 14, Rotation: -8,
					Background: Card, LightFrom: 316, Blur: 0.7, Noise: 1.1, Cracks: 4,
					Bar: ScaleBar{Length: 20, X: 0.5, Y: 0.87},
				}},
				{File: "KB-015-section.jpg", Shot: Shot{
					View: MidSection, Width: 1000, Height: 750, X: 0.5, Y: 0.4, PxPerMM: 20, Rotation: 4,
					Background: Grey, LightFrom: 316, Blur: 0.7, Noise: 1.1, Cracks: 2,
					Bar: ScaleBar{Style: Ruler, Length: 20},
				}},
				{File: "KB-015-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 86, CarinaAt: 0.5, Rotation: -96,
					Background: Velvet, LightFrom: 320, Blur: 0.8, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 5, X: 0.76, Y: 0.12},
				}},
			},
		},
		{
			Note: "Small hooked crown with fine mesial and coarse distal denticles, washed from the clay of the invented Kelpbarrow quarry.",
			Tooth: Tooth{
				Name: "KB-021", CBL: 6.2, CBW: 2.7, CH: 11.5, AL: 13.88, MCW: 2.05,
				MesialBow: 0.135, DistalBow: -0.07, MesialSkew: 0.1, TipRadius: 0.12, Cervix: 0.03,
				Section: Section{Exponent: 1.9}, Palette: 12,
				Mesial: Row{Apical: 27, Mid: 29, Basal: 31, From: 0.4, To: 0.96},
				Distal: Row{Apical: 17.5, Mid: 18, Basal: 20.5, From: 0.04, To: 0.96},
			},
			Photos: []DemoPhoto{
				{File: "KB-021-labial.jpg", Shot: Shot{
					View: LateralLabial, Width: 1600, Height: 1200, PxPerMM: 74, X: 0.48, Y: 0.43, Rotation: 36,
					Background: Paper, LightFrom: 314, Blur: 0.8, Noise: 1, Cracks: 3,
					Bar:   ScaleBar{Style: Ruler, Length: 10, X: 0.36, Y: 0.875},
					Label: Label{Text: "KB-021", X: 0.84, Y: 0.86, Rotation: -3},
				}},
				{File: "KB-021-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 62, Rotation: 20,
					Background: Card, LightFrom: 316, Blur: 0.8, Noise: 1.1, Cracks: 3,
					Bar: ScaleBar{Length: 5, X: 0.42, Y: 0.87},
				}},
				{File: "KB-021-mesial.jpg", Shot: Shot{
					View: MesialCarina, Width: 1000, Height: 750, PxPerMM: 205, CarinaAt: 0.56, Rotation: 30,
					Background: Grey, LightFrom: 322, Blur: 1, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 1, X: 0.2, Y: 0.13},
				}},
				{File: "KB-021-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 170, CarinaAt: 0.5, Rotation: -66,
					Background: Grey, LightFrom: 322, Blur: 1, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 1, X: 0.8, Y: 0.13},
				}},
			},
		},
		{
			Note: "Fluted cone without denticles, from the gravel above the invented Kelpbarrow quarry.",
			Tooth: Tooth{
				Name: "KB-022", CBL: 15, CBW: 12.3, CH: 38, AL: 39.3, MCW: 9.1,
				MesialBow: 0.055, DistalBow: 0.002, TipRadius: 0.7, Cervix: 0.05,
				Section: Section{Exponent: 2}, Palette: 5, Flutes: 9,
			},
			Photos: []DemoPhoto{
				{File: "KB-022-labial.jpg", Shot: Shot{
					View: LateralLabial, Width: 1600, Height: 1200, PxPerMM: 20, X: 0.46, Y: 0.42, Rotation: 38,
					Background: Velvet, LightFrom: 312, Blur: 0.7, Noise: 1.1, Cracks: 3,
					Bar:   ScaleBar{Style: Ruler, Length: 30, X: 0.5, Y: 0.86},
					Label: Label{Text: "KB-022", X: 0.83, Y: 0.3, Rotation: 4},
				}},
				{File: "KB-022-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 27, Rotation: -30,
					Background: Velvet, LightFrom: 316, Blur: 0.7, Noise: 1.1, Cracks: 4,
					Bar: ScaleBar{Length: 10, X: 0.5, Y: 0.88},
				}},
				{File: "KB-022-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 90, CarinaAt: 0.5, Rotation: -70,
					Background: Velvet, LightFrom: 326, Blur: 0.8, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 2, X: 0.82, Y: 0.12},
				}},
			},
		},
		{
			Note: "Front tooth of a blade-toothed animal, thick and D-shaped at its base, from the invented Kelpbarrow quarry; thickness alone misleads here.",
			Tooth: Tooth{
				Name: "KB-030", CBL: 15, CBW: 13.2, CH: 34, AL: 35.8, MCW: 9.7,
				MesialBow: 0.1, DistalBow: 0.02, TipRadius: 0.5, Cervix: 0.045,
				Section: Section{Shape: DShape, Labial: 0.7, Exponent: 2.1}, Palette: 3,
				Mesial: Row{Apical: 10.4, Mid: 10.6, Basal: 11.8, From: 0.2, To: 0.97},
				Distal: Row{Apical: 10.2, Mid: 10.5, Basal: 11.5, From: 0.05, To: 0.97},
			},
			Photos: []DemoPhoto{
				{File: "KB-030-labial.jpg", Shot: Shot{
					View: LateralLabial, Width: 1600, Height: 1200, PxPerMM: 23, X: 0.4, Y: 0.46, Rotation: -14,
					Background: Velvet, LightFrom: 316, Blur: 0.7, Noise: 1.1, Cracks: 4,
					Bar:   ScaleBar{Length: 20, X: 0.74, Y: 0.8, Rotation: 3},
					Label: Label{Text: "KB-030", X: 0.76, Y: 0.15, Rotation: -4},
				}},
				{File: "KB-030-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 27, Rotation: 8,
					Background: Velvet, LightFrom: 316, Blur: 0.7, Noise: 1.1, Cracks: 4,
					Bar: ScaleBar{Length: 10, X: 0.5, Y: 0.88},
				}},
				{File: "KB-030-mesial.jpg", Shot: Shot{
					View: MesialCarina, Width: 1000, Height: 750, PxPerMM: 92, CarinaAt: 0.5, Rotation: 64,
					Background: Velvet, LightFrom: 330, Blur: 0.8, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 5, X: 0.3, Y: 0.12},
				}},
			},
		},
		{
			Note: "Blade whose apex broke off before burial, from the invented Kelpbarrow quarry; its height is a minimum.",
			Tooth: Tooth{
				Name: "KB-031", CBL: 21.5, CBW: 9.6, CH: 45, AL: 49.2, MCW: 7.2,
				MesialBow: 0.1, DistalBow: -0.02, MesialSkew: 0.2, Cervix: 0.03,
				Section: Section{Shape: Lens}, Root: 9, BrokenApex: 0.2, Palette: 8,
				Mesial: Row{Apical: 12.2, Mid: 12.4, Basal: 13.5, From: 0.25, To: 0.98},
				Distal: Row{Apical: 11.8, Mid: 12, Basal: 13.4},
			},
			Photos: []DemoPhoto{
				{File: "KB-031-labial.jpg", Shot: Shot{
					View: LateralLabial, Width: 1600, Height: 1200, PxPerMM: 17, X: 0.5, Y: 0.42, Rotation: 66, Mirrored: true,
					Background: Grey, LightFrom: 315, Blur: 0.7, Noise: 1.1, Cracks: 5,
					Bar:   ScaleBar{Length: 50, X: 0.44, Y: 0.875},
					Label: Label{Text: "KB-031", X: 0.85, Y: 0.86, Rotation: 2},
				}},
				{File: "KB-031-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 22, Rotation: -14, Mirrored: true,
					Background: Grey, LightFrom: 318, Blur: 0.7, Noise: 1.1, Cracks: 4,
					Bar: ScaleBar{Length: 10, X: 0.5, Y: 0.88},
				}},
				{File: "KB-031-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 90, CarinaAt: 0.5, Rotation: 70, Mirrored: true,
					Background: Card, LightFrom: 325, Blur: 0.8, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 5, X: 0.3, Y: 0.12},
				}},
			},
		},
		{
			Note: "Small tumbled crown from the creek below the invented Kelpbarrow quarry; its mesial denticles are worn away.",
			Tooth: Tooth{
				Name: "KB-038", CBL: 9.8, CBW: 5, CH: 17.6, AL: 19.93, MCW: 3.9,
				MesialBow: 0.115, DistalBow: -0.03, TipRadius: 0.55, Cervix: 0.04,
				Section: Section{Exponent: 2}, Palette: 11,
				Mesial: Row{Apical: 16, Mid: 16, Basal: 17, From: 0.25, To: 0.96, WornFrom: 0.01, WornTo: 1},
				Distal: Row{Apical: 14.8, Mid: 15.5, Basal: 16.8, From: 0.05, To: 0.95, WornFrom: 0.82, WornTo: 1},
			},
			Photos: []DemoPhoto{
				{File: "KB-038-lingual.jpg", Shot: Shot{
					View: LateralLingual, Width: 1600, Height: 1200, PxPerMM: 46, X: 0.42, Y: 0.46, Rotation: -22,
					Background: Card, LightFrom: 316, Blur: 0.8, Noise: 1, Cracks: 4,
					Bar:   ScaleBar{Length: 10, X: 0.78, Y: 0.86},
					Label: Label{Text: "KB-038", X: 0.8, Y: 0.13, Rotation: 6},
				}},
				{File: "KB-038-basal.jpg", Shot: Shot{
					View: Basal, Width: 1000, Height: 750, X: 0.5, Y: 0.42, PxPerMM: 40, Rotation: 16,
					Background: Card, LightFrom: 316, Blur: 0.7, Noise: 1, Cracks: 3,
					Bar: ScaleBar{Style: Ruler, Length: 10, X: 0.5, Y: 0.85},
				}},
				{File: "KB-038-distal.jpg", Shot: Shot{
					View: DistalCarina, Width: 1000, Height: 750, PxPerMM: 130, CarinaAt: 0.48, Rotation: -68,
					Background: Grey, LightFrom: 325, Blur: 0.9, Noise: 1.1, Cracks: 1,
					Bar: ScaleBar{Style: Line, Length: 2, X: 0.8, Y: 0.12},
				}},
			},
		},
	}
	for i := range tray {
		for j := range tray[i].Photos {
			p := &tray[i].Photos[j]
			p.Shot.Seed = uint64(100*i + j + 1)
			p.JPEG.Camera = "Invented camera"
			p.JPEG.Orientation = 1
			p.JPEG.Taken = time.Date(2031, 5, 4+i, 10, 7*j, 30, 0, time.UTC)
			if p.JPEG.Quality == 0 {
				p.JPEG.Quality = 82
			}
		}
	}
	return tray
}
