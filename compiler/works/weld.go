package works

// weldWorks are the works cited by the weld plan.
var weldWorks = []Work{
	{Key: "AWS D1.1", Author: "American Welding Society",
		Title: "Structural Welding Code: Steel, clause 5.8, stress relief heat treatment", Year: "2010"},
	{Key: "Welding Institute", Author: "The Welding Institute",
		Title: "Frequently asked questions: shrinkage and distortion of welds; what is cited is an estimate (from memory, no source)", Year: "undated"},
	{Key: "ISO 2553", Author: "ISO",
		Title: "Welding and allied processes: Symbolic representation on drawings, welded joints", Year: "2013"},
}
