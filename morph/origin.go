package morph

// Origin says how a trace came about. It changes no reading: what a person took
// counts like what they drew, but a record should tell the two apart.
type Origin string

const (
	ByHand   Origin = ""
	Proposed Origin = "proposed"            // from the picture, taken by a person as it was
	Edited   Origin = "proposed and edited" // and then corrected by hand
)

// Known tells whether o is one of the origins there are.
func (o Origin) Known() bool { return o == ByHand || o == Proposed || o == Edited }

// how says how something came about, which is called by its verb ("traced") when
// it was done by hand.
func (o Origin) how(verb string) string {
	switch o {
	case Proposed:
		return "proposed and taken"
	case Edited:
		return string(Edited)
	}
	return verb + " by hand"
}
