package works

// sectionWorks are the works cited by the section figures.
var sectionWorks = []Work{
	{Key: "AISC Manual", Author: "American Institute of Steel Construction",
		Title: "Steel Construction Manual", Year: "15th edition, 2017"},
	{Key: "ASTM A500", Author: "ASTM International",
		Title: "Standard Specification for Cold-Formed Welded and Seamless Carbon Steel Structural Tubing in Rounds and Shapes", Year: "2021"},
	{Key: "Cowper 1966", Author: "G. R. Cowper",
		Title: "The Shear Coefficient in Timoshenko's Beam Theory, Journal of Applied Mechanics 33, 335-340", Year: "1966"},
	{Key: "El Darwish 1965", Author: "I. A. El Darwish and B. G. Johnston",
		Title: "Torsion of Structural Shapes, Journal of the Structural Division, ASCE 91 (ST1), 203-227", Year: "1965"},
	{Key: "EN 10210-2", Author: "CEN",
		Title: "Hot finished structural hollow sections of non-alloy and fine grain steels. Part 2: Tolerances, dimensions and sectional properties", Year: "2006"},
	{Key: "EN 10219-2", Author: "CEN",
		Title: "Cold formed welded structural hollow sections of non-alloy and fine grain steels. Part 2: Tolerances, dimensions and sectional properties", Year: "2006"},
	{Key: "Pilkey 2002", Author: "W. D. Pilkey",
		Title: "Analysis and Design of Elastic Beams: Computational Methods", Year: "2002"},
	{Key: "SCI P363", Author: "Steel Construction Institute and BCSA",
		Title: "Steel Building Design: Design Data", Year: "2009"},
	{Key: "Timoshenko Goodier", Author: "S. P. Timoshenko and J. N. Goodier",
		Title: "Theory of Elasticity", Year: "3rd edition, 1970"},
}
