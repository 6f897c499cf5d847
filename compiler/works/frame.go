package works

// frameWorks are the works cited by the frame figures.
var frameWorks = []Work{
	{"Przemieniecki 1968", "J. S. Przemieniecki", "Theory of Matrix Structural Analysis", "1968"},
	{"Friedman and Kosmatka 1993", "Z. Friedman and J. B. Kosmatka", "An improved two-node Timoshenko beam finite element, Computers & Structures 47(3), 473-481", "1993"},
	{"Cuthill and McKee 1969", "E. Cuthill and J. McKee", "Reducing the bandwidth of sparse symmetric matrices, Proceedings of the 24th National Conference of the ACM, 157-172", "1969"},
	{"George and Liu 1981", "A. George and J. W. H. Liu", "Computer Solution of Large Sparse Positive Definite Systems", "1981"},
	{"Golub and Van Loan 2013", "G. H. Golub and C. F. Van Loan", "Matrix Computations, 4th edition", "2013"},
	{"Bathe 2014", "K.-J. Bathe", "Finite Element Procedures, 2nd edition", "2014"},
}
