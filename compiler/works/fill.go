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
	{Key: "ACI 211.1", Author: "American Concrete Institute, committee 211",
		Title: "Standard Practice for Selecting Proportions for Normal, Heavyweight, and Mass Concrete", Year: "1991"},
	{Key: "ACI 347", Author: "American Concrete Institute, committee 347",
		Title: "Guide to Formwork for Concrete", Year: "2004"},
	{Key: "ASTM E1876", Author: "ASTM International",
		Title: "Standard Test Method for Dynamic Young's Modulus, Shear Modulus, and Poisson's Ratio by Impulse Excitation of Vibration", Year: "2015"},
	{Key: "Lydon and Balendran 1986", Author: "F. D. Lydon and R. V. Balendran",
		Title: "Some observations on elastic properties of plain concrete, Cement and Concrete Research 16(3), 314-324", Year: "1986"},
	{Key: "Timoshenko and Woinowsky-Krieger 1959", Author: "S. Timoshenko and S. Woinowsky-Krieger",
		Title: "Theory of Plates and Shells, 2nd edition", Year: "1959"},
	{Key: "EN 1992-1-1", Author: "CEN",
		Title: "Eurocode 2: Design of concrete structures. Part 1-1: General rules and rules for buildings", Year: "2004"},
}
