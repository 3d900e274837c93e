package morph

import "math"

// The measurements. Lengths, ratios, angles and counts are written as the trade
// writes them; quantities without an abbreviation of their own have plain names.
const (
	CBL ID = "CBL"
	CBW ID = "CBW"
	CH  ID = "CH"
	AL  ID = "AL"
	CBR ID = "CBR"
	CHR ID = "CHR"
	CMA ID = "CMA"
	CAA ID = "CAA"
	CDA ID = "CDA"

	Slenderness   ID = "SLENDERNESS"
	CrownArea     ID = "CROWN_AREA"
	EdgeCurvature ID = "CURVATURE"

	BaseArea ID = "BASE_AREA"
	MCL      ID = "MCL"
	MCW      ID = "MCW"
	MCR      ID = "MCR"

	MA   ID = "MA"
	MC   ID = "MC"
	MB   ID = "MB"
	DA   ID = "DA"
	DC   ID = "DC"
	DB   ID = "DB"
	MAVG ID = "MAVG"
	DAVG ID = "DAVG"
	DSDI ID = "DSDI"
	MDL  ID = "MDL"
	DDL  ID = "DDL"
	MSL  ID = "MSL"

	IMD    ID = "I_MD"
	ILL    ID = "I_LL"
	ZMD    ID = "Z_MD"
	ZLL    ID = "Z_LL"
	ZRatio ID = "Z_RATIO"
	SMD    ID = "S_MD"
	SLL    ID = "S_LL"
)

// Groups of quantities, as headings.
const (
	groupCrown     = "Crown"
	groupSection   = "Section"
	groupDenticles = "Denticles"
	groupStrength  = "Strength"
)

const (
	smith2005     = "Smith 2005"
	hendrickx2015 = "Hendrickx, Mateus & Araújo 2015"
	hendrickx2024 = "table compiled by Hendrickx et al. 2024"
	smithDodson   = "Smith, Vann & Dodson 2005"
	valkenburgh   = "after Van Valkenburgh & Ruff 1987"
	PlainGeometry = "geometry" // what needs no paper: lengths, angles and areas as schools teach them
)

const needsDenticles = "needs a count, or ticks along the carina"

// entry is a row of the table: a quantity and every way to its value, the one
// that counts by default first.
type entry struct {
	Quantity
	ways []source
	// needs says what is missing when no way has even begun.
	needs string
	// possible and published bound the value; see limits.go.
	possible  bounds
	published bounds
	// agree makes candidates that differ be noticed.
	agree bool
}

// table declares every measurement: to add one, add a row. A row may build
// only on rows above it.
var table = []entry{
	{
		Quantity: Quantity{ID: CBL, Name: "crown base length", Unit: "mm", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "Length of the crown along its mesiodistal axis at the base of the enamel, about from A to B."},
		ways:     []source{typed, sections(BasalView, sectionLength), crowns(crownCBL)},
		needs:    "needs a lateral or a basal photo, or a typed value",
		possible: lengths, published: bounds{0.1, 200}, agree: true,
	},
	{
		Quantity: Quantity{ID: CBW, Name: "crown base width", Unit: "mm", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "Labiolingual width of the crown at the base of the enamel, at a right angle to CBL."},
		ways:     []source{typed, sections(BasalView, sectionWidth)},
		needs:    "needs a basal photo or a typed value",
		possible: lengths, published: bounds{0.1, 200}, agree: true,
	},
	{
		Quantity: Quantity{ID: CH, Name: "crown height", Unit: "mm", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "Straight distance from the apex G to the distal base point B: the distal side, not a perpendicular height."},
		ways:     []source{typed, crowns(crownCH)},
		needs:    "needs a lateral photo or a typed value",
		possible: lengths, published: bounds{0.1, 250}, agree: true,
	},
	{
		Quantity: Quantity{ID: AL, Name: "apical length", Unit: "mm", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "Straight distance from the mesial base point A to the apex G."},
		ways:     []source{typed, crowns(crownAL)},
		needs:    "needs a lateral photo or a typed value",
		possible: lengths, published: bounds{0.1, 250}, agree: true,
	},
	{
		Quantity: Quantity{ID: CBR, Name: "crown base ratio", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "CBW / CBL: how thick the crown is at its base."},
		ways:     []source{formula("CBW / CBL", quotient, up(CBW), down(CBL)), sectionRatio(BasalView, CBW, CBL), typed},
		possible: ratios, agree: true,
	},
	{
		Quantity: Quantity{ID: CHR, Name: "crown height ratio", Group: groupCrown, Typable: true, Source: smith2005,
			Definition: "CH / CBL, or CH over the longer of CBL and CBW where that rule is chosen."},
		ways:     []source{heightRatio, crownRatio, typed},
		possible: ratios, agree: true,
	},
	{
		Quantity: Quantity{ID: CMA, Name: "crown mesial angle (crown angle, CA)", Unit: "°", Group: groupCrown, Source: smith2005,
			Definition: "Angle at the mesial base point A between the base line and the line to the apex, by the law of cosines."},
		ways: []source{corner(func(a Angles) float64 { return a.CMA })},
	},
	{
		Quantity: Quantity{ID: CAA, Name: "crown apical angle", Unit: "°", Group: groupCrown, Source: hendrickx2024,
			Definition: "Angle at the apex G between the lines to the two base points."},
		ways: []source{corner(func(a Angles) float64 { return a.CAA })},
	},
	{
		Quantity: Quantity{ID: CDA, Name: "crown distal angle", Unit: "°", Group: groupCrown, Source: hendrickx2024,
			Definition: "Angle at the distal base point B between the base line and the line to the apex."},
		ways: []source{corner(func(a Angles) float64 { return a.CDA })},
	},
	{
		Quantity: Quantity{ID: Slenderness, Name: "slenderness", Group: groupCrown, Source: PlainGeometry,
			Definition: "CH / √(CBL·CBW): crown height over the mean diameter of the base."},
		ways: []source{formula("CH / √(CBL·CBW)", func(x []float64) float64 { return x[0] / math.Sqrt(x[1]*x[2]) }, up(CH), down(CBL), down(CBW))},
	},
	{
		Quantity: Quantity{ID: CrownArea, Name: "crown area", Unit: "mm²", Group: groupCrown, Source: PlainGeometry,
			Definition: "Area of the crown in lateral view, inside the traced outline closed by the base line from B to A."},
		ways:  []source{crowns(crownArea)},
		needs: "needs a crown traced in a lateral photo",
	},
	{
		Quantity: Quantity{ID: EdgeCurvature, Name: "mesial edge curvature b", Group: groupCrown, Source: smithDodson,
			Definition: "Slope b of Y = a + b·√X fitted to the mesial edge: x along the base line from A to B and y toward the apex, both from zero and divided by the edge's range of x."},
		ways:  []source{crowns(crownCurvature)},
		needs: "needs a crown traced in a lateral photo",
	},

	{
		Quantity: Quantity{ID: BaseArea, Name: "base section area", Unit: "mm²", Group: groupSection, Source: PlainGeometry,
			Definition: "Area of the cross-section at the crown base; without an outlined section, of the ellipse of CBL and CBW."},
		ways: []source{sections(BasalView, sectionArea), ellipse(func(b Bending) float64 { return b.Area })},
	},
	{
		Quantity: Quantity{ID: MCL, Name: "mid-crown length", Unit: "mm", Group: groupSection, Typable: true, Source: hendrickx2015,
			Definition: "Mesiodistal length of the crown at half its height."},
		ways:     []source{typed, sections(MidSection, sectionLength)},
		needs:    "needs a mid-crown section or a typed value",
		possible: lengths, published: bounds{0.1, 200}, agree: true,
	},
	{
		Quantity: Quantity{ID: MCW, Name: "mid-crown width", Unit: "mm", Group: groupSection, Typable: true, Source: hendrickx2015,
			Definition: "Labiolingual width of the crown at half its height."},
		ways:     []source{typed, sections(MidSection, sectionWidth)},
		needs:    "needs a mid-crown section or a typed value",
		possible: lengths, published: bounds{0.1, 200}, agree: true,
	},
	{
		Quantity: Quantity{ID: MCR, Name: "mid-crown ratio", Group: groupSection, Source: hendrickx2015,
			Definition: "MCW / MCL: how thick the crown is at half its height."},
		ways: []source{formula("MCW / MCL", quotient, up(MCW), down(MCL)), sectionRatio(MidSection, MCW, MCL)},
	},

	density(MA, "mesial apical denticles", MesialCarina, Apical),
	density(MC, "mesial mid-crown denticles", MesialCarina, Mid),
	density(MB, "mesial basal denticles", MesialCarina, Basal),
	density(DA, "distal apical denticles", DistalCarina, Apical),
	density(DC, "distal mid-crown denticles", DistalCarina, Mid),
	density(DB, "distal basal denticles", DistalCarina, Basal),
	{
		Quantity: Quantity{ID: MAVG, Name: "mean mesial denticles", Unit: "per 5 mm", Group: groupDenticles, Source: smith2005,
			Definition: "Mean of MA, MC and MB."},
		ways: []source{formula("mean of MA, MC and MB", mean, up(MA), up(MC), up(MB))},
	},
	{
		Quantity: Quantity{ID: DAVG, Name: "mean distal denticles", Unit: "per 5 mm", Group: groupDenticles, Source: smith2005,
			Definition: "Mean of DA, DC and DB."},
		ways: []source{formula("mean of DA, DC and DB", mean, up(DA), up(DC), up(DB))},
	},
	{
		Quantity: Quantity{ID: DSDI, Name: "denticle size density index", Group: groupDenticles, Source: "MC / DC: " + hendrickx2024 + "; MAVG / DAVG: " + smith2005,
			Definition: "Mesial over distal denticle density: MC / DC, or MAVG / DAVG where that rule is chosen."},
		ways: []source{densityIndex},
	},
	{
		Quantity: Quantity{ID: MDL, Name: "mesial denticle length", Unit: "mm", Group: groupDenticles, Source: hendrickx2024,
			Definition: "5 mm / MC: length of carina that one mesial mid-crown denticle takes."},
		ways: []source{formula("5 / MC", func(x []float64) float64 { return DensityLength / x[0] }, down(MC))},
	},
	{
		Quantity: Quantity{ID: DDL, Name: "distal denticle length", Unit: "mm", Group: groupDenticles, Source: hendrickx2024,
			Definition: "5 mm / DC: length of carina that one distal mid-crown denticle takes."},
		ways: []source{formula("5 / DC", func(x []float64) float64 { return DensityLength / x[0] }, down(DC))},
	},
	{
		Quantity: Quantity{ID: MSL, Name: "mesial serrated length", Unit: "mm", Group: groupDenticles, Typable: true, Source: hendrickx2024,
			Definition: "Length of the serrated part of the mesial carina, along the carina."},
		ways:     []source{typed, serrated(MesialCarina), carinaState(MesialCarina)},
		needs:    "needs the serrated part of the mesial carina marked, or a typed value",
		possible: lengths, published: bounds{0.1, 300}, agree: true,
	},

	{
		Quantity: Quantity{ID: IMD, Name: "second moment, mesiodistal", Unit: "mm⁴", Group: groupStrength, Source: valkenburgh,
			Definition: "Second moment of area of the base section against a load in the mesiodistal direction."},
		ways: []source{sections(BasalView, sectionIMD), ellipse(func(b Bending) float64 { return b.IMD })},
	},
	{
		Quantity: Quantity{ID: ILL, Name: "second moment, labiolingual", Unit: "mm⁴", Group: groupStrength, Source: valkenburgh,
			Definition: "Second moment of area of the base section against a load in the labiolingual direction."},
		ways: []source{sections(BasalView, sectionILL), ellipse(func(b Bending) float64 { return b.ILL })},
	},
	{
		Quantity: Quantity{ID: ZMD, Name: "section modulus, mesiodistal", Unit: "mm³", Group: groupStrength, Source: valkenburgh,
			Definition: "Second moment for a mesiodistal load over the greatest distance from the centroidal axis."},
		ways: []source{sections(BasalView, sectionZMD), ellipse(func(b Bending) float64 { return b.ZMD })},
	},
	{
		Quantity: Quantity{ID: ZLL, Name: "section modulus, labiolingual", Unit: "mm³", Group: groupStrength, Source: valkenburgh,
			Definition: "Second moment for a labiolingual load over the greatest distance from the centroidal axis."},
		ways: []source{sections(BasalView, sectionZLL), ellipse(func(b Bending) float64 { return b.ZLL })},
	},
	{
		Quantity: Quantity{ID: ZRatio, Name: "section modulus ratio", Group: groupStrength, Source: valkenburgh,
			Definition: "Mesiodistal over labiolingual section modulus: how much better the base resists bending fore and aft than sideways."},
		ways: []source{formula("Z_MD / Z_LL", quotient, either(ZMD), either(ZLL)), sections(BasalView, sectionZRatio)},
	},
	{
		Quantity: Quantity{ID: SMD, Name: "strength index, mesiodistal", Unit: "mm²", Group: groupStrength, Source: valkenburgh,
			Definition: "Z / CH for a mesiodistal load: the load at the tip that the base bears is proportional to it."},
		ways: []source{formula("Z_MD / CH", quotient, up(ZMD), down(CH))},
	},
	{
		Quantity: Quantity{ID: SLL, Name: "strength index, labiolingual", Unit: "mm²", Group: groupStrength, Source: valkenburgh,
			Definition: "Z / CH for a labiolingual load: the load at the tip that the base bears is proportional to it."},
		ways: []source{formula("Z_LL / CH", quotient, up(ZLL), down(CH))},
	},
}

// density is the row of a denticle density.
func density(id ID, name string, carina Carina, third Third) entry {
	return entry{
		Quantity: Quantity{ID: id, Name: name, Unit: "per 5 mm", Group: groupDenticles, Typable: true, Source: smith2005,
			Definition: "Denticles per 5 mm of the " + string(carina) + " carina, " + thirds[third] + "."},
		ways:     []source{typed, counted, ticks(carina, third), carinaState(carina)},
		needs:    needsDenticles,
		possible: bounds{1, 200}, published: bounds{4, 80}, agree: true,
	}
}

var thirds = map[Third]string{
	Apical: "as near as possible to the apex",
	Mid:    "at mid-crown",
	Basal:  "as near as possible to the base",
}

func quotient(x []float64) float64 { return x[0] / x[1] }

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
