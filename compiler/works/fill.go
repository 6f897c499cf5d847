package works

// fillWorks are the works cited by the fill figures.
var fillWorks = []Work{
	{Key: "ACI 318", Author: "American Concrete Institute",
		Title: "Building Code Requirements for Structural Concrete", Year: "318-19"},
	{Key: "EN 1992-1-1", Author: "CEN",
		Title: "Eurocode 2: Design of concrete structures. Part 1-1: General rules and rules for buildings", Year: "2004"},
}
