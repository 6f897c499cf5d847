package works

// fillWorks are the works cited by the fill figures.
var fillWorks = []Work{
	{Key: "Friberg 1940", Author: "B. F. Friberg",
		Title: "Design of dowels in transverse joints of concrete pavements, Transactions of the ASCE 105, 1076-1095", Year: "1940"},
	{Key: "Ghali and Favre 1994", Author: "A. Ghali and R. Favre",
		Title: "Concrete Structures: Stresses and Deformations, 2nd edition", Year: "1994"},
	{Key: "Timoshenko 1956", Author: "S. Timoshenko",
		Title: "Strength of Materials, Part II: Advanced Theory and Problems, 3rd edition", Year: "1956"},
	{Key: "EN 1994-1-1", Author: "CEN",
		Title: "Eurocode 4: Design of composite steel and concrete structures. Part 1-1: General rules and rules for buildings", Year: "2004"},
	{Key: "Yemam 2017", Author: "D. M. Yemam, B.-J. Kim, J.-Y. Moon and C. Yi",
		Title: "Mechanical properties of epoxy resin mortar with sand washing waste as filler, Materials 10(3), 246", Year: "2017"},
	{Key: "EN 1992-1-1", Author: "CEN",
		Title: "Eurocode 2: Design of concrete structures. Part 1-1: General rules and rules for buildings", Year: "2004"},
}
