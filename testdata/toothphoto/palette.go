package toothphoto

// palette is the colours of one invented fossil.
type palette struct {
	dark, light colour // enamel, mottled between the two
	stain       colour // mineral stain in patches
	root        colour
	dentine     colour
	matrix      colour // sediment in the pulp cavity
}

var palettes = [...]palette{
	{dark: colour{88, 62, 44}, light: colour{158, 122, 88}, stain: colour{62, 50, 44}, root: colour{172, 158, 136}, dentine: colour{186, 170, 142}, matrix: colour{112, 92, 76}},
	{dark: colour{66, 65, 66}, light: colour{126, 120, 112}, stain: colour{98, 78, 62}, root: colour{150, 143, 130}, dentine: colour{168, 160, 146}, matrix: colour{104, 96, 92}},
	{dark: colour{148, 108, 62}, light: colour{208, 172, 120}, stain: colour{118, 84, 54}, root: colour{188, 172, 142}, dentine: colour{204, 186, 152}, matrix: colour{128, 104, 80}},
	{dark: colour{92, 97, 102}, light: colour{158, 158, 152}, stain: colour{118, 100, 80}, root: colour{164, 160, 150}, dentine: colour{184, 180, 168}, matrix: colour{108, 104, 100}},
	{dark: colour{84, 50, 38}, light: colour{142, 96, 70}, stain: colour{58, 40, 36}, root: colour{160, 140, 118}, dentine: colour{178, 158, 132}, matrix: colour{100, 78, 64}},
	{dark: colour{168, 150, 118}, light: colour{218, 204, 172}, stain: colour{140, 112, 80}, root: colour{184, 172, 150}, dentine: colour{206, 194, 170}, matrix: colour{134, 116, 96}},
}

func (t Tooth) palette() palette { return palettes[t.Palette%uint64(len(palettes))] }
