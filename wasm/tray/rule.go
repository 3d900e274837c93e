package tray

import "crownbench/morph"

// DSDIRule is the definition of DSDI that counts for the specimen: the one its
// owner chose, else the one that a morph.Tooth without a choice is read by.
func (s *Specimen) DSDIRule() morph.DSDIRule {
	if s.DSDI == "" {
		return morph.DSDIMid
	}
	return s.DSDI
}

// CHRRule is the same for CHR.
func (s *Specimen) CHRRule() morph.CHRRule {
	if s.CHR == "" {
		return morph.CHRByLength
	}
	return s.CHR
}
