package works

// modalWorks are the works cited by the figures on vibration.
var modalWorks = []Work{
	{"Szabo and Babuska 2011", "B. Szabó and I. Babuška", "Introduction to Finite Element Analysis: Formulation, Verification and Validation", "2011"},
	{"Ainsworth 2004", "M. Ainsworth", "Discrete dispersion relation for hp-version finite element approximation at high wave number, SIAM Journal on Numerical Analysis 42(2), 553-575", "2004"},
	{"Parlett 1998", "B. N. Parlett", "The Symmetric Eigenvalue Problem", "1998"},
	{"Ericsson and Ruhe 1980", "T. Ericsson and A. Ruhe", "The spectral transformation Lanczos method for the numerical solution of large sparse generalized symmetric eigenvalue problems, Mathematics of Computation 35, 1251-1268", "1980"},
	{"Graff 1975", "K. F. Graff", "Wave Motion in Elastic Solids", "1975"},
	{"Johnson and Kienholz 1982", "C. D. Johnson and D. A. Kienholz", "Finite element prediction of damping in structures with constrained viscoelastic layers, AIAA Journal 20(9), 1284-1290", "1982"},
	{"Ewins 2000", "D. J. Ewins", "Modal Testing: Theory, Practice and Application, 2nd edition", "2000"},
}
