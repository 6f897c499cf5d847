package works

// budgetWorks are the works cited by the error budget, the geometry of the axes and
// the evaluation of tests.
var budgetWorks = []Work{
	{"Slocum 1992", "A. H. Slocum", "Precision Machine Design", "1992"},
	{"JCGM 100", "JCGM", "Evaluation of measurement data - Guide to the expression of uncertainty in measurement", "2008"},
	{"ISO 230-1", "ISO", "Test code for machine tools - Part 1: Geometric accuracy of machines operating under no-load or quasi-static conditions", "2012"},
	{"ISO 230-2", "ISO", "Test code for machine tools - Part 2: Determination of accuracy and repeatability of positioning of numerically controlled axes", "2014"},
	{"ISO 230-4", "ISO", "Test code for machine tools - Part 4: Circular tests for numerically controlled machine tools", "2022"},
	{"ISO 1101", "ISO", "Geometrical product specifications (GPS) - Geometrical tolerancing - Tolerances of form, orientation, location and run-out", "2017"},
	{"Evans Hocken Estler 1996", "C. J. Evans, R. J. Hocken and W. T. Estler", "Self-calibration: reversal, redundancy, error separation, and absolute testing, CIRP Annals 45(2)", "1996"},
	{"Irvine 1981", "H. M. Irvine", "Cable Structures", "1981"},
}
