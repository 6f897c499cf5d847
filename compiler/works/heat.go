package works

// heatWorks are the works cited by the figures on heat.
var heatWorks = []Work{
	{"Incropera 2007", "F. P. Incropera, D. P. DeWitt, T. L. Bergman and A. S. Lavine", "Fundamentals of Heat and Mass Transfer, 6th edition", "2007"},
	{"Cengel 2003", "Y. A. Cengel", "Heat Transfer: A Practical Approach, 2nd edition", "2003"},
	{"Carslaw and Jaeger 1959", "H. S. Carslaw and J. C. Jaeger", "Conduction of Heat in Solids, 2nd edition", "1959"},
	{"Churchill and Chu 1975", "S. W. Churchill and H. H. S. Chu",
		"Correlating equations for laminar and turbulent free convection, Int. J. Heat Mass Transfer 18, 1049-1053 (horizontal cylinder), 1323-1329 (vertical plate)", "1975"},
	{"Anderson and Saunders 1953", "J. T. Anderson and O. A. Saunders",
		"Convection from an isolated heated horizontal cylinder rotating about its axis, Proc. R. Soc. A 217, 555-562", "1953"},
	{"Becker 1963", "K. M. Becker",
		"Measurements of convective heat transfer from a horizontal cylinder rotating in a tank of water, Int. J. Heat Mass Transfer 6, 1053-1062", "1963"},
	{"Timoshenko 1925", "S. Timoshenko", "Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11, 233-255", "1925"},
	{"Boley and Weiner 1960", "B. A. Boley and J. H. Weiner", "Theory of Thermal Stresses", "1960"},
	{"ISO 1", "ISO", "Geometrical product specifications - Standard reference temperature for the specification of geometrical and dimensional properties", "2016"},
	{"ISO/TR 16015", "ISO",
		"Geometrical product specifications - Systematic errors and contributions to measurement uncertainty of length measurement due to thermal influences", "2003"},
}
