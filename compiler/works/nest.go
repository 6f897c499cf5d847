package works

// nestWorks are the works cited by the cutting plans.
var nestWorks = []Work{
	{Key: "Gilmore and Gomory 1961", Author: "P. C. Gilmore and R. E. Gomory",
		Title: "A linear programming approach to the cutting-stock problem, Operations Research 9(6), 849-859", Year: "1961"},
	{Key: "Gupta and Ho 1999", Author: "J. N. D. Gupta and J. C. Ho",
		Title: "A new heuristic algorithm for the one-dimensional bin-packing problem, Production Planning and Control 10(6), 598-603", Year: "1999"},
	{Key: "Johnson 1974", Author: "D. S. Johnson",
		Title: "Fast algorithms for bin packing, Journal of Computer and System Sciences 8(3), 272-314", Year: "1974"},
}
