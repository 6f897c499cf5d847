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
	{"Wilson Yuan Dickens 1982", "E. L. Wilson, M.-W. Yuan and J. M. Dickens", "Dynamic analysis by direct superposition of Ritz vectors, Earthquake Engineering & Structural Dynamics 10(6), 813-821", "1982"},
	{"Ruhe 1984", "A. Ruhe", "Rational Krylov sequence methods for eigenvalue computation, Linear Algebra and its Applications 58, 391-405", "1984"},
	{"Skudrzyk 1980", "E. Skudrzyk", "The mean-value method of predicting the dynamic response of complex vibrators, Journal of the Acoustical Society of America 67(4), 1105-1135", "1980"},
	{"Gidrao 2024", "G. M. S. Gidrão and others", "Internal damping ratio of normal- and high-strength concrete considering mechanical damage evolution, Buildings 14(8), 2446", "2024"},
	{"Suh Lee 2008", "J. D. Suh and D. G. Lee", "Design and manufacture of hybrid polymer concrete bed for high-speed CNC milling machine, International Journal of Mechanics and Materials in Design 4, 113-121", "2008"},
	{"Ito 2008", "Y. Ito", "Modular Design for Machine Tools, table 6-11", "2008"},
	{"Allemang and Brown 1982", "R. J. Allemang and D. L. Brown", "A correlation coefficient for modal vector analysis, Proceedings of the 1st International Modal Analysis Conference, 110-116", "1982"},
	{"Allemang 2003", "R. J. Allemang", "The modal assurance criterion: twenty years of use and abuse, Sound and Vibration 37(8), 14-23", "2003"},
	{"Kuhn 1955", "H. W. Kuhn", "The Hungarian method for the assignment problem, Naval Research Logistics Quarterly 2, 83-97", "1955"},
	{"Munkres 1957", "J. Munkres", "Algorithms for the assignment and transportation problems, Journal of the Society for Industrial and Applied Mathematics 5(1), 32-38", "1957"},
}
