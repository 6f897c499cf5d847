package works

// chatterWorks are the works cited by the chatter figures.
var chatterWorks = []Work{
	{
		Key:    "Altintas Budak 1995",
		Author: "Y. Altintas and E. Budak",
		Title:  "Analytical prediction of stability lobes in milling, CIRP Annals 44(1), 357-362",
		Year:   "1995",
	},
	{
		Key:    "Budak Altintas 1998",
		Author: "E. Budak and Y. Altintas",
		Title:  "Analytical prediction of chatter stability in milling, part I, Journal of Dynamic Systems, Measurement, and Control 120(1), 22-30",
		Year:   "1998",
	},
	{
		Key:    "Merdol Altintas 2004",
		Author: "S. D. Merdol and Y. Altintas",
		Title:  "Multi frequency solution of chatter stability for low immersion milling, Journal of Manufacturing Science and Engineering 126(3), 459-466",
		Year:   "2004",
	},
	{
		Key:    "Tyler Schmitz 2012",
		Author: "C. T. Tyler and T. L. Schmitz",
		Title:  "Process damping analytical stability analysis and validation, Transactions of NAMRI/SME 40",
		Year:   "2012",
	},
	{
		Key:    "Schmitz Mann 2006",
		Author: "T. L. Schmitz and B. P. Mann",
		Title:  "Closed-form solutions for surface location error in milling, International Journal of Machine Tools and Manufacture 46(12-13), 1369-1377",
		Year:   "2006",
	},
	{
		Key:    "Wilkinson 1965",
		Author: "J. H. Wilkinson",
		Title:  "The Algebraic Eigenvalue Problem, Clarendon Press",
		Year:   "1965",
	},
	{
		Key:    "Zatarain 2006",
		Author: "M. Zatarain, J. Muñoa, G. Peigné and T. Insperger",
		Title:  "Analysis of the influence of mill helix angle on chatter stability, CIRP Annals 55(1), 365-368",
		Year:   "2006",
	},
	{
		Key:    "Smith Tlusty 1990",
		Author: "S. Smith and J. Tlusty",
		Title:  "Update on High-Speed Milling Dynamics, Journal of Engineering for Industry 112(2), 142-149",
		Year:   "1990",
	},
}
