package works

// motionWorks are the works cited by the figures on motion quality.
var motionWorks = []Work{
	{Key: "Nise 2011", Author: "N. S. Nise", Title: "Control Systems Engineering, 6th edition", Year: "2011"},
	{Key: "Ogata 2010", Author: "K. Ogata", Title: "Modern Control Engineering, 5th edition", Year: "2010"},
	{Key: "Harris 2006", Author: "T. A. Harris and M. N. Kotzalas", Title: "Rolling Bearing Analysis: Essential Concepts of Bearing Technology, 5th edition", Year: "2006"},
	{Key: "Hanselman 2003", Author: "D. C. Hanselman", Title: "Brushless Permanent Magnet Motor Design, 2nd edition", Year: "2003"},
}
