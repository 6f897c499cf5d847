package works

// samplingWorks are the works cited by samples, chances and shares of the variance.
var samplingWorks = []Work{
	{"JCGM 101", "JCGM", "Evaluation of measurement data - Supplement 1 to the Guide to the expression of uncertainty in measurement - Propagation of distributions using a Monte Carlo method", "2008"},
	{"McKay 1979", "M. D. McKay, R. J. Beckman and W. J. Conover", "A comparison of three methods for selecting values of input variables in the analysis of output from a computer code, Technometrics 21", "1979"},
	{"Stein 1987", "M. Stein", "Large sample properties of simulations using Latin hypercube sampling, Technometrics 29", "1987"},
	{"Owen 1997", "A. B. Owen", "Monte Carlo variance of scrambled net quadrature, SIAM Journal on Numerical Analysis 34", "1997"},
	{"O'Neill 2014", "M. E. O'Neill", "PCG: a family of simple fast space-efficient statistically good algorithms for random number generation, Harvey Mudd College HMC-CS-2014-0905", "2014"},
	{"Hyndman 1996", "R. J. Hyndman and Y. Fan", "Sample quantiles in statistical packages, The American Statistician 50", "1996"},
	{"David 2003", "H. A. David and H. N. Nagaraja", "Order Statistics, 3rd edition", "2003"},
	{"Wilks 1941", "S. S. Wilks", "Determination of sample sizes for setting tolerance limits, Annals of Mathematical Statistics 12", "1941"},
	{"Clopper 1934", "C. J. Clopper and E. S. Pearson", "The use of confidence or fiducial limits illustrated in the case of the binomial, Biometrika 26", "1934"},
	{"Sobol 1993", "I. M. Sobol'", "Sensitivity estimates for nonlinear mathematical models, Mathematical Modelling and Computational Experiments 1", "1993"},
	{"Sudret 2008", "B. Sudret", "Global sensitivity analysis using polynomial chaos expansions, Reliability Engineering and System Safety 93", "2008"},
	{"Blatman 2010", "G. Blatman and B. Sudret", "An adaptive algorithm to build up sparse polynomial chaos expansions for stochastic finite element analysis, Probabilistic Engineering Mechanics 25", "2010"},
	{"Plischke 2010", "E. Plischke", "An effective algorithm for computing global sensitivity indices (EASI), Reliability Engineering and System Safety 95", "2010"},
}
